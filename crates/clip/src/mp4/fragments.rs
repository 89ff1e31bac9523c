//! Samples of a fragmented track: `moof` boxes after (or without) a sample table.
//!
//! ISO/IEC 14496-12, 8.8. Times follow FFmpeg's reading where the standard leaves a choice: an edit list in
//! the index shifts the fragments' times and cuts nothing; with negative composition offsets, times are
//! shifted so that no decoding time lies after its presentation.

use crate::error::ClipError;
use crate::fields::Fields;
use crate::frame_table::{ByteRange, RawSample};
use crate::mp4::boxes::{BoxHeader, children, first};
use crate::mp4::sample_table::{MOST_SAMPLES, leaf};
use crate::window::Window;

/// What a track's samples are if a fragment does not say.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Defaults {
    pub(crate) duration: u32,
    pub(crate) size: u32,
    pub(crate) flags: u32,
}

/// Sample flags: not a keyframe; depends on others.
const NOT_A_KEYFRAME: u32 = 0x0001_0000 | 0x0100_0000;

/// `tfhd` flags.
const BASE_OFFSET: u32 = 0x01;
const DESCRIPTION: u32 = 0x02;
const DEFAULT_DURATION: u32 = 0x08;
const DEFAULT_SIZE: u32 = 0x10;
const DEFAULT_FLAGS: u32 = 0x20;
const BASE_IS_MOOF: u32 = 0x02_0000;

/// `trun` flags.
const DATA_OFFSET: u32 = 0x001;
const FIRST_FLAGS: u32 = 0x004;
const OWN_DURATION: u32 = 0x100;
const OWN_SIZE: u32 = 0x200;
const OWN_FLAGS: u32 = 0x400;
const OWN_OFFSET: u32 = 0x800;

/// Collects one track's samples from fragment after fragment.
pub(crate) struct Fragments {
    track: u32,
    defaults: Defaults,
    /// What the edit list takes from every time, ticks.
    shift: i64,
    /// Decoding time at which the next sample stands if its fragment does not say.
    end: i64,
    /// Decoding time of the last sample.
    last: Option<i64>,
    /// Largest negative composition offset so far, as a positive number.
    latest_offset: i64,
    samples: Vec<RawSample>,
    missing: u32,
    /// Bytes of all samples so far. A file whose samples have more than it has itself lists them over and over.
    claimed: u64,
}

impl Fragments {
    pub(crate) fn new(track: u32, defaults: Defaults, shift: i64, end: i64, last: Option<i64>) -> Self {
        Self {
            track,
            defaults,
            shift,
            end,
            last,
            latest_offset: 0,
            samples: Vec::new(),
            missing: 0,
            claimed: 0,
        }
    }

    /// The samples, and how many more lie beyond the end of the file.
    pub(crate) fn finish(self) -> (Vec<RawSample>, u32) {
        (self.samples, self.missing)
    }

    /// Reads one `moof`.
    pub(crate) fn read(&mut self, window: &mut Window<'_>, moof: BoxHeader) -> Result<(), ClipError> {
        window.hold(moof.start, moof.end - moof.start)?;
        let mut implicit_offset = moof.start;
        let first_here = self.samples.len();
        for traf in children(window, moof.body, moof.end)? {
            if traf.kind == *b"traf" {
                let parts = children(window, traf.body, traf.end)?;
                self.read_track(window, moof, &parts, &mut implicit_offset)?;
            }
        }
        for sample in &mut self.samples[first_here..] {
            sample.presentation = sample.presentation.saturating_add(self.latest_offset);
        }
        Ok(())
    }

    fn read_track(
        &mut self,
        window: &mut Window<'_>,
        moof: BoxHeader,
        parts: &[BoxHeader],
        implicit_offset: &mut u64,
    ) -> Result<(), ClipError> {
        const HEADER: &str = "a fragment's header (`tfhd`) is incomplete";
        let Some(header) = first(parts, b"tfhd") else {
            return Ok(());
        };
        let bytes = leaf(window, header, HEADER)?;
        let mut fields = Fields::new(&bytes, header.body, HEADER);
        let (_, flags) = fields.version_and_flags()?;
        let ours = fields.u32()? == self.track;
        let base = if flags & BASE_OFFSET != 0 {
            fields.u64()?
        } else if flags & BASE_IS_MOOF != 0 {
            moof.start
        } else {
            *implicit_offset
        };
        if flags & DESCRIPTION != 0 {
            fields.skip(4)?;
        }
        let mut defaults = self.defaults;
        if flags & DEFAULT_DURATION != 0 {
            defaults.duration = fields.u32()?;
        }
        if flags & DEFAULT_SIZE != 0 {
            defaults.size = fields.u32()?;
        }
        if flags & DEFAULT_FLAGS != 0 {
            defaults.flags = fields.u32()?;
        }
        if ours && let Some(time) = first(parts, b"tfdt") {
            const TIME: &str = "a fragment's time (`tfdt`) is incomplete";
            let bytes = leaf(window, time, TIME)?;
            let mut fields = Fields::new(&bytes, time.body, TIME);
            let (version, _) = fields.version_and_flags()?;
            let stated = i64::try_from(fields.wide(version == 1)?).map_err(|_| {
                ClipError::malformed(
                    time.start,
                    "a fragment's time is beyond the range of a 64-bit number",
                )
            })?;
            self.end = stated;
        }
        let mut at = base;
        for run in parts.iter().filter(|part| part.kind == *b"trun") {
            at = self.read_run(window, *run, base, at, defaults, ours)?;
        }
        *implicit_offset = at;
        Ok(())
    }

    /// Reads one `trun`; gives the first byte after its samples. Runs of other tracks are walked for that
    /// alone, since where the next track's samples stand may follow from it.
    fn read_run(
        &mut self,
        window: &mut Window<'_>,
        run: BoxHeader,
        base: u64,
        at: u64,
        defaults: Defaults,
        ours: bool,
    ) -> Result<u64, ClipError> {
        const RUN: &str = "a fragment's list of samples (`trun`) is incomplete";
        let bytes = leaf(window, run, RUN)?;
        let mut fields = Fields::new(&bytes, run.body, RUN);
        let (_, flags) = fields.version_and_flags()?;
        let place = fields.place();
        let count = fields.u32()?;
        let mut at = if flags & DATA_OFFSET != 0 {
            base.saturating_add_signed(i64::from(fields.i32()?))
        } else {
            at
        };
        let first_flags = if flags & FIRST_FLAGS != 0 {
            Some(fields.u32()?)
        } else {
            None
        };
        let width = 4 * (flags & (OWN_DURATION | OWN_SIZE | OWN_FLAGS | OWN_OFFSET)).count_ones();
        if u64::from(count) * u64::from(width) > fields.rest().len() as u64 {
            return Err(ClipError::malformed(place, RUN));
        }
        // FFmpeg cuts samples of a fragment that starts before the one before it has ended.
        let before = self.last;
        for index in 0..count {
            let duration = if flags & OWN_DURATION != 0 {
                fields.u32()?
            } else {
                defaults.duration
            };
            let size = if flags & OWN_SIZE != 0 {
                fields.u32()?
            } else {
                defaults.size
            };
            let own_flags = if flags & OWN_FLAGS != 0 {
                Some(fields.u32()?)
            } else {
                None
            };
            let offset = if flags & OWN_OFFSET != 0 {
                i64::from(fields.i32()?)
            } else {
                0
            };
            let bytes = ByteRange { offset: at, size };
            if size == 0 {
                return Err(ClipError::malformed(
                    place,
                    "a fragment lists a sample of no bytes",
                ));
            }
            at = bytes.end();
            if !ours {
                if width == 0 {
                    return Ok(base.saturating_add(u64::from(count) * u64::from(size)));
                }
                continue;
            }
            let decoding = self.end;
            self.end = decoding.saturating_add(i64::from(duration));
            if at > window.size() {
                if width == 0 {
                    // Nothing backs the count but the bytes themselves.
                    self.missing = self.missing.saturating_add(count - index);
                    return Ok(at);
                }
                self.missing = self.missing.saturating_add(1);
                continue;
            }
            self.claimed = self.claimed.saturating_add(u64::from(size));
            if self.claimed > window.size() {
                return Err(ClipError::malformed(
                    place,
                    "its frames have more bytes than the file",
                ));
            }
            if self.samples.len() == MOST_SAMPLES {
                return Err(ClipError::too_large(
                    run.start,
                    "it lists more than 4 million frames",
                ));
            }
            let first_or_default = if index == 0 { first_flags } else { None }.unwrap_or(defaults.flags);
            self.latest_offset = self.latest_offset.max(-offset);
            self.last = Some(decoding);
            self.samples.push(RawSample {
                presentation: decoding.saturating_sub(self.shift).saturating_add(offset),
                duration: i64::from(duration),
                keyframe: own_flags.unwrap_or(first_or_default) & NOT_A_KEYFRAME == 0,
                shown: before.is_none_or(|before| before < decoding),
                bytes,
            });
        }
        Ok(at)
    }
}

/// The defaults that `mvex` states for a track.
pub(crate) fn defaults_of(
    window: &mut Window<'_>,
    movie_extends: BoxHeader,
    track: u32,
) -> Result<Defaults, ClipError> {
    const WHAT: &str = "the fragments' defaults (`trex`) are incomplete";
    for part in children(window, movie_extends.body, movie_extends.end)? {
        if part.kind == *b"trex" {
            let bytes = leaf(window, part, WHAT)?;
            let mut fields = Fields::new(&bytes, part.body, WHAT);
            fields.version_and_flags()?;
            if fields.u32()? == track {
                fields.skip(4)?;
                return Ok(Defaults {
                    duration: fields.u32()?,
                    size: fields.u32()?,
                    flags: fields.u32()?,
                });
            }
        }
    }
    Ok(Defaults::default())
}
