//! The sample table of a whole (not fragmented) track: for every sample its time, size and place.
//!
//! ISO/IEC 14496-12, 8.6 (times, keyframes) and 8.7 (sizes, chunks). Nothing is allocated for a count that a
//! table claims before the bytes that back it are known to be in the file.

use crate::error::{ClipError, ClipErrorKind};
use crate::fields::Fields;
use crate::frame_table::ByteRange;
use crate::mp4::boxes::{BoxHeader, first};
use crate::mp4::edit_list::MediaSample;
use crate::window::Window;

/// A day at 48 frames/s; more are not believed.
pub(crate) const MOST_SAMPLES: usize = 1 << 22;
/// FFmpeg drops a composition table with an offset beyond this, unless it is one of the last two.
const ABSURD_OFFSET: i64 = 1 << 28;
/// Durations from here up are negative numbers written as unsigned ones.
const NEGATIVE_DURATIONS_FROM: u32 = u32::MAX - 480_000;

/// A track's samples in decode order, and what was found out on the way.
#[derive(Debug, Default)]
pub(crate) struct Samples {
    pub(crate) media: Vec<MediaSample>,
    /// As long as `media`.
    pub(crate) bytes: Vec<ByteRange>,
    /// Duration of the last sample, ticks.
    pub(crate) last_duration: i64,
    /// Decoding time at which the next sample would stand.
    pub(crate) end: i64,
    /// Whether the track states composition offsets.
    pub(crate) reordered: bool,
    /// Samples whose bytes lie beyond the end of the file.
    pub(crate) missing: u32,
}

/// Reads the children of an `stbl` box.
pub(crate) fn read(window: &mut Window<'_>, tables: &[BoxHeader]) -> Result<Samples, ClipError> {
    let Some(ranges) = read_ranges(window, tables)? else {
        return Ok(Samples::default());
    };
    let Some(durations) = first(tables, b"stts") else {
        return Ok(Samples::default());
    };
    let mut samples = Samples::default();
    let offsets = read_offsets(window, tables)?;
    samples.reordered = offsets.is_some();
    let mut offsets = Runs::new(offsets.unwrap_or_default());
    let keyframes = read_keyframes(window, tables)?;
    let mut keyframes_left = keyframes.as_deref().unwrap_or_default();

    let bytes = leaf(window, durations, "the table of durations (`stts`) is incomplete")?;
    let mut fields = Fields::new(
        &bytes,
        durations.body,
        "the table of durations (`stts`) is incomplete",
    );
    fields.version_and_flags()?;
    let mut runs_left = fields.count(8)?;
    let (mut run_left, mut duration) = (0_u32, 0_i64);

    samples.media.reserve_exact(ranges.len());
    samples.bytes.reserve_exact(ranges.len());
    for (number, range) in (1_u32..).zip(ranges) {
        // The last run goes on for as long as there are samples.
        while run_left == 0 && runs_left > 0 {
            let place = fields.place();
            run_left = fields.u32()?;
            let stated = fields.u32()?;
            runs_left -= 1;
            if stated >= NEGATIVE_DURATIONS_FROM && run_left > 0 {
                let time = samples.end.wrapping_add(i64::from(stated.cast_signed()));
                return Err(ClipError::at(
                    place,
                    ClipErrorKind::TimesGoBackwards {
                        frame: number,
                        time,
                        before: samples.end,
                    },
                ));
            }
            duration = i64::from(stated);
        }
        run_left = run_left.saturating_sub(1);
        let keyframe = match &keyframes {
            None => true,
            Some(_) => {
                while keyframes_left.first().is_some_and(|listed| *listed < number) {
                    keyframes_left = &keyframes_left[1..];
                }
                keyframes_left.first() == Some(&number)
            }
        };
        let composition_offset = offsets.next_value();
        let decoding = samples.end;
        samples.end = decoding.saturating_add(duration);
        let Some(range) = range else {
            samples.missing = samples.missing.saturating_add(1);
            continue;
        };
        samples.media.push(MediaSample {
            decoding,
            composition_offset,
            keyframe,
        });
        samples.bytes.push(range);
        samples.last_duration = duration;
    }
    Ok(samples)
}

/// A leaf's bytes, if it is no longer than the most samples could need.
pub(crate) fn leaf(
    window: &mut Window<'_>,
    leaf: BoxHeader,
    what: &'static str,
) -> Result<Vec<u8>, ClipError> {
    if leaf.body_size() > (MOST_SAMPLES as u64) * 12 + 64 {
        return Err(ClipError::too_large(
            leaf.start,
            "one of its tables is longer than 48 MiB",
        ));
    }
    window.load(leaf.body, leaf.body_size(), what)
}

/// Where each sample's bytes stand, in decode order; `None` within for those beyond the end of the file.
fn read_ranges(
    window: &mut Window<'_>,
    tables: &[BoxHeader],
) -> Result<Option<Vec<Option<ByteRange>>>, ClipError> {
    const CHUNKS: &str = "the table of chunks (`stsc`) is incomplete";
    let (Some(sizes), Some(chunks)) = (read_sizes(window, tables)?, first(tables, b"stsc")) else {
        return Ok(None);
    };
    let chunk_offsets = read_chunk_offsets(window, tables)?;
    let file_size = window.size();
    let bytes = leaf(window, chunks, CHUNKS)?;
    let mut fields = Fields::new(&bytes, chunks.body, CHUNKS);
    fields.version_and_flags()?;
    let runs = fields.count(12)?;
    let mut run = ChunkRuns {
        fields,
        left: runs,
        samples_per_chunk: 0,
        next: None,
    };
    run.advance()?;

    let mut ranges = Vec::new();
    let mut number = 0;
    // A file whose samples have more bytes than it has itself lists them over and over.
    let mut claimed = 0_u64;
    for (chunk, offset) in (1_u32..).zip(chunk_offsets) {
        while run.next.is_some_and(|(first_chunk, _)| first_chunk <= chunk) {
            run.advance_to_next()?;
        }
        let mut at = offset;
        for _ in 0..run.samples_per_chunk {
            let Some(size) = sizes.get(number) else {
                return Ok(Some(ranges));
            };
            if ranges.len() == MOST_SAMPLES {
                return Err(ClipError::too_large(
                    chunks.start,
                    "it lists more than 4 million frames",
                ));
            }
            let end = at.saturating_add(u64::from(size));
            let whole = end <= file_size && size > 0;
            if !whole && sizes.is_constant() {
                // Nothing backs the count of a constant size but the bytes themselves.
                ranges.push(None);
                return Ok(Some(ranges));
            }
            claimed = claimed.saturating_add(if whole { u64::from(size) } else { 0 });
            if claimed > file_size {
                return Err(ClipError::malformed(
                    chunks.start,
                    "its frames have more bytes than the file",
                ));
            }
            ranges.push(whole.then_some(ByteRange { offset: at, size }));
            number += 1;
            at = end;
        }
    }
    Ok(Some(ranges))
}

/// The runs of `stsc`: from which chunk on how many samples stand in each.
struct ChunkRuns<'bytes> {
    fields: Fields<'bytes>,
    left: usize,
    samples_per_chunk: u32,
    next: Option<(u32, u32)>,
}

impl ChunkRuns<'_> {
    fn advance(&mut self) -> Result<(), ClipError> {
        self.next = None;
        if self.left > 0 {
            self.left -= 1;
            let run = (self.fields.u32()?, self.fields.u32()?);
            self.fields.skip(4)?;
            self.next = Some(run);
        }
        Ok(())
    }

    fn advance_to_next(&mut self) -> Result<(), ClipError> {
        if let Some((_, samples_per_chunk)) = self.next {
            self.samples_per_chunk = samples_per_chunk;
        }
        self.advance()
    }
}

enum Sizes {
    Constant { size: u32, count: usize },
    Listed(Vec<u32>),
}

impl Sizes {
    fn get(&self, number: usize) -> Option<u32> {
        match self {
            Self::Constant { size, count } => (number < *count).then_some(*size),
            Self::Listed(sizes) => sizes.get(number).copied(),
        }
    }

    fn is_constant(&self) -> bool {
        matches!(self, Self::Constant { .. })
    }
}

fn read_sizes(window: &mut Window<'_>, tables: &[BoxHeader]) -> Result<Option<Sizes>, ClipError> {
    const WHAT: &str = "the table of sizes (`stsz`) is incomplete";
    if let Some(table) = first(tables, b"stsz") {
        let bytes = leaf(window, table, WHAT)?;
        let mut fields = Fields::new(&bytes, table.body, WHAT);
        fields.version_and_flags()?;
        let size = fields.u32()?;
        if size > 0 {
            let count = fields.u32()? as usize;
            return Ok(Some(Sizes::Constant { size, count }));
        }
        let count = fields.count(4)?;
        let listed = fields.take(count * 4)?.chunks_exact(4);
        let sizes = listed.map(|size| u32::from_be_bytes([size[0], size[1], size[2], size[3]]));
        return Ok(Some(Sizes::Listed(sizes.collect())));
    }
    let Some(table) = first(tables, b"stz2") else {
        return Ok(None);
    };
    let bytes = leaf(window, table, WHAT)?;
    let mut fields = Fields::new(&bytes, table.body, WHAT);
    fields.version_and_flags()?;
    let width_bits = fields.u32()? & 0xff;
    let place = fields.place();
    let count = fields.u32()? as usize;
    let packed = fields.rest();
    let have = match width_bits {
        4 => packed.len().saturating_mul(2),
        8 => packed.len(),
        16 => packed.len() / 2,
        _ => {
            return Err(ClipError::malformed(
                table.start,
                "the table of sizes (`stz2`) has entries of an unknown width",
            ));
        }
    };
    if count > have {
        return Err(ClipError::malformed(place, WHAT));
    }
    let size_of = |index: usize| match width_bits {
        4 if index.is_multiple_of(2) => u32::from(packed[index / 2] >> 4),
        4 => u32::from(packed[index / 2] & 15),
        8 => u32::from(packed[index]),
        _ => u32::from(u16::from_be_bytes([packed[index * 2], packed[index * 2 + 1]])),
    };
    Ok(Some(Sizes::Listed((0..count).map(size_of).collect())))
}

fn read_chunk_offsets(window: &mut Window<'_>, tables: &[BoxHeader]) -> Result<Vec<u64>, ClipError> {
    const WHAT: &str = "the table of chunk places (`stco`) is incomplete";
    let (table, width) = match (first(tables, b"stco"), first(tables, b"co64")) {
        (Some(table), _) => (table, 4),
        (None, Some(table)) => (table, 8),
        (None, None) => return Ok(Vec::new()),
    };
    let bytes = leaf(window, table, WHAT)?;
    let mut fields = Fields::new(&bytes, table.body, WHAT);
    fields.version_and_flags()?;
    let count = fields.count(width)?;
    (0..count).map(|_| fields.wide(width == 8)).collect()
}

/// Numbers of the samples, from 1, at which decoding can start; `None`: all of them.
fn read_keyframes(window: &mut Window<'_>, tables: &[BoxHeader]) -> Result<Option<Vec<u32>>, ClipError> {
    const WHAT: &str = "the table of keyframes (`stss`) is incomplete";
    let Some(table) = first(tables, b"stss") else {
        return Ok(None);
    };
    let bytes = leaf(window, table, WHAT)?;
    let mut fields = Fields::new(&bytes, table.body, WHAT);
    fields.version_and_flags()?;
    let count = fields.count(4)?;
    let mut numbers: Vec<u32> = (0..count).map(|_| fields.u32()).collect::<Result<_, _>>()?;
    // Some writers count from 0.
    if numbers.first() == Some(&0) {
        for number in &mut numbers {
            *number = number.saturating_add(1);
        }
    }
    Ok(Some(numbers))
}

/// Runs of `(count, composition offset)`; `None` if the track has no such table.
fn read_offsets(window: &mut Window<'_>, tables: &[BoxHeader]) -> Result<Option<Vec<(u32, i64)>>, ClipError> {
    const WHAT: &str = "the table of composition offsets (`ctts`) is incomplete";
    let Some(table) = first(tables, b"ctts") else {
        return Ok(None);
    };
    let bytes = leaf(window, table, WHAT)?;
    let mut fields = Fields::new(&bytes, table.body, WHAT);
    fields.version_and_flags()?;
    let count = fields.count(8)?;
    let mut runs = Vec::with_capacity(count);
    for index in 0..count {
        let length = fields.u32()?;
        // Version 0 says unsigned, yet QuickTime writes signed ones there; nobody means 2^31 ticks.
        let offset = i64::from(fields.i32()?);
        if offset.abs() > ABSURD_OFFSET && index + 2 < count {
            return Ok(None);
        }
        runs.push((length, offset));
    }
    Ok(Some(runs))
}

/// Values of a run-length table, one after the other; 0 once it has run out.
struct Runs {
    runs: std::vec::IntoIter<(u32, i64)>,
    left: u32,
    value: i64,
}

impl Runs {
    fn new(runs: Vec<(u32, i64)>) -> Self {
        Self {
            runs: runs.into_iter(),
            left: 0,
            value: 0,
        }
    }

    fn next_value(&mut self) -> i64 {
        while self.left == 0 {
            let Some((count, value)) = self.runs.next() else {
                return 0;
            };
            (self.left, self.value) = (count, value);
        }
        self.left -= 1;
        self.value
    }
}
