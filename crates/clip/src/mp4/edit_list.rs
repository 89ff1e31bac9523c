//! Which samples an edit list shows, and when.
//!
//! An edit list (ISO/IEC 14496-12, 8.6.6) maps stretches of a track's media onto its presentation. Read
//! literally it would start a clip at a time between two frames; players do not. FFmpeg, and Chromium with
//! it, moves the first frame shown to the start of its edit and keeps the samples from the nearest keyframe on
//! for decoding. This module gives the same times, since marks have to mean the frames that players show; the
//! tests hold it against ffprobe tick for tick and against the numbers burned into the pictures.

/// One entry of an edit list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Edit {
    /// Length in the presentation, in the track's own ticks.
    pub(crate) duration: i64,
    /// Where it starts in the media, ticks; −1 for a stretch that shows nothing.
    pub(crate) media_time: i64,
}

/// A sample as the media has it, in decode order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct MediaSample {
    /// Decoding time, ticks.
    pub(crate) decoding: i64,
    /// Presentation time before edits less the decoding time, ticks.
    pub(crate) composition_offset: i64,
    pub(crate) keyframe: bool,
}

/// One use of a sample by the presentation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Use {
    /// Which sample of the media.
    pub(crate) sample: u32,
    /// When it is shown, ticks.
    pub(crate) presentation: i64,
    /// Whether it lies within its edit, or is needed for decoding only.
    pub(crate) shown: bool,
}

/// An edit list may use samples more than once; hostile ones use them without end.
const MOST_USES_PER_SAMPLE: usize = 4;

/// The samples the presentation needs, in decode order. `reordered`: the track has composition offsets.
/// Empty if no sample is shown, or if the list repeats the media beyond measure.
pub(crate) fn apply(samples: &[MediaSample], edits: &[Edit], reordered: bool) -> Vec<Use> {
    let most = samples.len().saturating_mul(MOST_USES_PER_SAMPLE);
    let mut uses: Vec<Use> = Vec::with_capacity(samples.len());
    let mut edit_start = 0_i64;
    let mut empty_before = 0_i64;
    let mut any_media = false;
    // Earliest presentation time of a shown sample; while negative, the latest is taken, as FFmpeg does.
    let mut earliest = -1_i64;
    for edit in edits {
        let mut decoding = edit_start;
        edit_start = edit_start.saturating_add(edit.duration);
        if edit_start == i64::MAX {
            break;
        }
        if !any_media && edit.media_time == -1 {
            empty_before = empty_before.saturating_add(edit.duration);
            continue;
        }
        any_media = true;
        let edit_end = edit.media_time.saturating_add(edit.duration);
        let mut started = false;
        let mut keyframe_after_end = false;
        let first_use = uses.len();
        let first = first_needed(samples, edit.media_time, reordered);
        for (index, sample) in samples.iter().enumerate().skip(first) {
            let duration = samples.get(index + 1).map_or(edit.duration, |next| {
                next.decoding.saturating_sub(sample.decoding)
            });
            let composition = sample.decoding.saturating_add(sample.composition_offset);
            let shown = composition >= edit.media_time && composition < edit_end;
            let presentation = decoding.saturating_add(sample.composition_offset);
            if shown {
                earliest = if earliest < 0 {
                    presentation
                } else {
                    earliest.min(presentation)
                };
                if !started {
                    lead_in(&mut uses[first_use..], samples, sample, decoding);
                }
                started = true;
            }
            if uses.len() == most {
                return Vec::new();
            }
            uses.push(Use {
                sample: u32::try_from(index).unwrap_or(u32::MAX),
                presentation,
                shown,
            });
            // Until the first shown sample the edit has not begun; `lead_in` sets what comes before it.
            if started {
                decoding = decoding.saturating_add(duration);
            }
            // Past the end, at a keyframe, nothing more is needed; with reordering, leading pictures of that
            // keyframe may still belong to the edit, so the next keyframe ends it.
            if composition.saturating_add(duration) >= edit_end && sample.keyframe {
                if reordered && !keyframe_after_end {
                    keyframe_after_end = true;
                    continue;
                }
                break;
            }
        }
    }
    let late = earliest.saturating_sub(empty_before);
    if late > 0 {
        for used in &mut uses {
            used.presentation = used.presentation.saturating_sub(late);
        }
    }
    if uses.iter().any(|used| used.shown) {
        uses
    } else {
        Vec::new()
    }
}

/// Gives the samples decoded before `next`, the first shown one, the times that lead up to its `decoding` time.
fn lead_in(before: &mut [Use], samples: &[MediaSample], next: &MediaSample, decoding: i64) {
    for used in before {
        let sample = &samples[used.sample as usize];
        let ahead = next.decoding.saturating_sub(sample.decoding);
        used.presentation = decoding
            .saturating_sub(ahead)
            .saturating_add(sample.composition_offset);
    }
}

/// The keyframe from which the picture at `media_time` can be decoded; without one, the sample at or before
/// that time; without that, the first.
fn first_needed(samples: &[MediaSample], media_time: i64, reordered: bool) -> usize {
    let after = samples.partition_point(|sample| sample.decoding <= media_time);
    let presented_by = |sample: &MediaSample| {
        !reordered || sample.decoding.saturating_add(sample.composition_offset) <= media_time
    };
    let keyframe = samples[..after]
        .iter()
        .rposition(|sample| sample.keyframe && presented_by(sample));
    let nearest = if reordered { None } else { after.checked_sub(1) };
    keyframe.or(nearest).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten samples 100 ticks apart, a keyframe every fourth, shown in decode order.
    fn media() -> Vec<MediaSample> {
        (0..10)
            .map(|index| MediaSample {
                decoding: index * 100,
                composition_offset: 0,
                keyframe: index % 4 == 0,
            })
            .collect()
    }

    fn shown(uses: &[Use]) -> Vec<(u32, i64)> {
        uses.iter()
            .filter(|used| used.shown)
            .map(|used| (used.sample, used.presentation))
            .collect()
    }

    #[test]
    fn a_trim_between_two_frames_starts_with_the_later_at_zero_and_decodes_from_its_keyframe() {
        let uses = apply(
            &media(),
            &[Edit {
                duration: 200,
                media_time: 550,
            }],
            false,
        );
        assert_eq!(shown(&uses), [(6, 0), (7, 100)]);
        assert_eq!(uses[0].sample, 4);
    }

    #[test]
    fn an_empty_edit_delays_the_start() {
        let edits = [
            Edit {
                duration: 70,
                media_time: -1,
            },
            Edit {
                duration: 1000,
                media_time: 0,
            },
        ];
        assert_eq!(shown(&apply(&media(), &edits, false))[..2], [(0, 70), (1, 170)]);
    }

    #[test]
    fn two_edits_follow_one_another() {
        let edits = [
            Edit {
                duration: 200,
                media_time: 0,
            },
            Edit {
                duration: 200,
                media_time: 800,
            },
        ];
        assert_eq!(
            shown(&apply(&media(), &edits, false)),
            [(0, 0), (1, 100), (8, 200), (9, 300)]
        );
    }

    #[test]
    fn a_list_that_shows_nothing_or_repeats_without_end_uses_nothing() {
        let beyond = Edit {
            duration: 100,
            media_time: 5000,
        };
        assert_eq!(apply(&media(), &[beyond], false), []);
        let whole = Edit {
            duration: 1000,
            media_time: 0,
        };
        assert_eq!(apply(&media(), &[whole; 50], false), []);
    }
}
