//! A track of the movie: what it holds, its clock, how its picture is turned, its edits.

use crate::error::ClipError;
use crate::fields::Fields;
use crate::mp4::boxes::{BoxHeader, Kind, children, first};
use crate::mp4::edit_list::Edit;
use crate::mp4::sample_table::leaf;
use crate::window::Window;

/// An editor writes an entry for each cut; no single clip has this many.
const MOST_EDITS: usize = 1024;

/// A 3×3 transformation without its last column: a, b, c, d in 16.16 fixed point.
pub(crate) type Matrix = [i32; 4];

/// What is read of every track before one is chosen.
#[derive(Debug)]
pub(crate) struct Track {
    pub(crate) id: u32,
    pub(crate) handler: Kind,
    pub(crate) timescale: u32,
    /// Where the timescale stands.
    pub(crate) timescale_at: u64,
    pub(crate) matrix: Matrix,
    /// In the movie's ticks, as written.
    pub(crate) edits: Vec<(u64, i64)>,
    /// The children of `stbl`.
    pub(crate) tables: Vec<BoxHeader>,
}

const UNTURNED: Matrix = [1 << 16, 0, 0, 1 << 16];

/// Reads a `trak` box; `None` if it lacks what every track has.
pub(crate) fn read(window: &mut Window<'_>, track: BoxHeader) -> Result<Option<Track>, ClipError> {
    let parts = children(window, track.body, track.end)?;
    let (Some(header), Some(media)) = (first(&parts, b"tkhd"), first(&parts, b"mdia")) else {
        return Ok(None);
    };
    let media = children(window, media.body, media.end)?;
    let (Some(media_header), Some(handler)) = (first(&media, b"mdhd"), first(&media, b"hdlr")) else {
        return Ok(None);
    };
    let (id, matrix) = read_header(window, header)?;
    let (timescale, timescale_at) = read_timescale(window, media_header)?;
    let kind = window.bytes(handler.body.saturating_add(8), 4, "a handler (`hdlr`)")?;
    let handler = [kind[0], kind[1], kind[2], kind[3]];
    let mut tables = Vec::new();
    if let Some(information) = first(&media, b"minf") {
        let information = children(window, information.body, information.end)?;
        if let Some(table) = first(&information, b"stbl") {
            tables = children(window, table.body, table.end)?;
        }
    }
    let mut edits = Vec::new();
    if let Some(list) = first(&parts, b"edts") {
        let list = children(window, list.body, list.end)?;
        if let Some(list) = first(&list, b"elst") {
            edits = read_edits(window, list)?;
        }
    }
    Ok(Some(Track {
        id,
        handler,
        timescale,
        timescale_at,
        matrix,
        edits,
        tables,
    }))
}

fn read_header(window: &mut Window<'_>, header: BoxHeader) -> Result<(u32, Matrix), ClipError> {
    const WHAT: &str = "a track header (`tkhd`) is incomplete";
    let bytes = leaf(window, header, WHAT)?;
    let mut fields = Fields::new(&bytes, header.body, WHAT);
    let (version, _) = fields.version_and_flags()?;
    let wide = version == 1;
    fields.skip(if wide { 16 } else { 8 })?;
    let id = fields.u32()?;
    fields.skip(4 + if wide { 8 } else { 4 } + 16)?;
    Ok((id, read_matrix(&mut fields)?))
}

/// The four numbers that turn and mirror, of nine.
fn read_matrix(fields: &mut Fields<'_>) -> Result<Matrix, ClipError> {
    let (a, b) = (fields.i32()?, fields.i32()?);
    fields.skip(4)?;
    let (c, d) = (fields.i32()?, fields.i32()?);
    Ok([a, b, c, d])
}

fn read_timescale(window: &mut Window<'_>, header: BoxHeader) -> Result<(u32, u64), ClipError> {
    const WHAT: &str = "a media header (`mdhd`) is incomplete";
    let bytes = leaf(window, header, WHAT)?;
    let mut fields = Fields::new(&bytes, header.body, WHAT);
    let (version, _) = fields.version_and_flags()?;
    fields.skip(if version == 1 { 16 } else { 8 })?;
    let place = fields.place();
    Ok((fields.u32()?, place))
}

/// The movie's timescale and its own matrix, from `mvhd`.
pub(crate) fn read_movie_header(
    window: &mut Window<'_>,
    header: BoxHeader,
) -> Result<(u32, Matrix), ClipError> {
    const WHAT: &str = "the movie header (`mvhd`) is incomplete";
    let bytes = leaf(window, header, WHAT)?;
    let mut fields = Fields::new(&bytes, header.body, WHAT);
    let (version, _) = fields.version_and_flags()?;
    let wide = version == 1;
    fields.skip(if wide { 16 } else { 8 })?;
    let timescale = fields.u32()?;
    fields.skip(if wide { 8 } else { 4 })?;
    fields.skip(16)?;
    Ok((timescale, read_matrix(&mut fields).unwrap_or(UNTURNED)))
}

fn read_edits(window: &mut Window<'_>, list: BoxHeader) -> Result<Vec<(u64, i64)>, ClipError> {
    const WHAT: &str = "the edit list (`elst`) is incomplete";
    let bytes = leaf(window, list, WHAT)?;
    let mut fields = Fields::new(&bytes, list.body, WHAT);
    let (version, _) = fields.version_and_flags()?;
    let wide = version == 1;
    let count = fields.count(if wide { 20 } else { 12 })?;
    if count > MOST_EDITS {
        return Err(ClipError::too_large(
            list.start,
            "its edit list has more than 1024 entries",
        ));
    }
    (0..count)
        .map(|_| {
            let duration = fields.wide(wide)?;
            let media_time = if wide {
                fields.i64()?
            } else {
                i64::from(fields.i32()?)
            };
            // The rate: players ignore it.
            fields.skip(4)?;
            Ok((duration, media_time))
        })
        .collect()
}

/// The edits in the track's own ticks; none if the movie has no clock to write them in.
pub(crate) fn edits_of(track: &Track, movie_timescale: u32) -> Vec<Edit> {
    if movie_timescale == 0 {
        return Vec::new();
    }
    let rescaled = |duration: u64| {
        let exact = u128::from(duration) * u128::from(track.timescale);
        let rounded = (exact + u128::from(movie_timescale / 2)) / u128::from(movie_timescale);
        i64::try_from(rounded).unwrap_or(i64::MAX)
    };
    track
        .edits
        .iter()
        .map(|(duration, media_time)| {
            let duration = rescaled(*duration);
            Edit {
                duration: if media_time.checked_add(duration).is_some() {
                    duration
                } else {
                    0
                },
                media_time: *media_time,
            }
        })
        .collect()
}

/// How far the two matrices together turn the picture clockwise; `None` if they mirror or tilt it.
pub(crate) fn rotation_deg(track: Matrix, movie: Matrix) -> Option<u16> {
    // Signs suffice for quarter turns; a matrix of zeros is written by some and means nothing.
    let sign = |matrix: Matrix| {
        if matrix == [0; 4] {
            [1, 0, 0, 1]
        } else {
            matrix.map(i32::signum)
        }
    };
    let ([a, b, c, d], [e, f, g, h]) = (sign(track), sign(movie));
    match [a * e + b * g, a * f + b * h, c * e + d * g, c * f + d * h] {
        [1, 0, 0, 1] => Some(0),
        [0, 1, -1, 0] => Some(90),
        [-1, 0, 0, -1] => Some(180),
        [0, -1, 1, 0] => Some(270),
        _ => None,
    }
}
