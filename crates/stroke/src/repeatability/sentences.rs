//! What the coach's repeatability means, in sentences.

use super::{FEWEST_PAIRS, MarkRepeatability, MeasureRepeatability, Repeatability};
use crate::MeasureKind;

impl Repeatability {
    /// What it means for this coach, the most useful first; empty when nothing was marked again.
    #[must_use]
    pub fn sentences(&self) -> Vec<String> {
        if self.passes == 0 {
            return Vec::new();
        }
        let mut sentences = vec![self.meaning()];
        sentences.extend(self.per_mark.iter().filter_map(shifted));
        sentences.extend(self.left_over());
        sentences
    }

    fn meaning(&self) -> String {
        if !self.is_known() {
            return format!(
                "Too few marks were made again to know your own error: {FEWEST_PAIRS} of a kind are needed."
            );
        }
        if self
            .per_mark
            .iter()
            .all(|mark| mark.sem_ms.unwrap_or(0.0) == 0.0 && mark.shift_ms.unwrap_or(0.0) == 0.0)
        {
            return "You chose the same frames both times: your hand is finer than the frames, whose own error \
                    is what counts."
                .to_owned();
        }
        let told = [
            (MeasureKind::PropulsiveGap, "gap", 1e3, "ms"),
            (MeasureKind::StrokeRate, "stroke rate", 1.0, "strokes/min"),
        ];
        told.iter()
            .find_map(|(kind, name, scale, unit)| {
                let measure = self.of_measure(*kind)?;
                let each = self.of_each_pass(measure);
                let change = measure.smallest_change_of_means(each, each)?;
                (change > 0.0).then(|| {
                    format!(
                        "A change of the mean {name} under {} {unit} may be your hand, not the swimmer (with {each} \
                         values before and {each} after).",
                        rounded(scale * change)
                    )
                })
            })
            .unwrap_or_else(|| {
                "The same event, marked twice, may well be as far apart as the smallest change in the table."
                    .to_owned()
            })
    }

    /// As many values as one pass gave.
    fn of_each_pass(&self, measure: &MeasureRepeatability) -> u32 {
        (measure.n / self.passes.max(1)).max(1)
    }

    fn left_over(&self) -> Option<String> {
        let earlier: u32 = self.per_mark.iter().map(|mark| mark.unpaired_earlier).sum();
        let again: u32 = self.per_mark.iter().map(|mark| mark.unpaired_again).sum();
        (earlier + again > 0).then(|| {
            format!(
                "Without a partner, and not counted: {earlier} of the first marks, {again} of the second (a partner \
                 lies within half the way to the next of its kind)."
            )
        })
    }
}

/// A shift that the scatter does not explain.
fn shifted(mark: &MarkRepeatability) -> Option<String> {
    let (shift, [low, high]) = mark.shift_ms.zip(mark.shift_interval_ms)?;
    if mark.sem_ms.is_none() || (low <= 0.0 && high >= 0.0) || shift == 0.0 {
        return None;
    }
    let (way, low, high) = if shift > 0.0 {
        ("later", low, high)
    } else {
        ("earlier", -high, -low)
    };
    Some(format!(
        "You now mark the {} {} ms {way} than before (95 % interval {} to {}): settle on one frame for it.",
        mark.kind.words(),
        rounded(shift.abs()),
        rounded(low),
        rounded(high)
    ))
}

/// To two figures or to the whole number, whichever is finer.
fn rounded(value: f64) -> String {
    let decimals = if value.abs() < 1.0 {
        2
    } else {
        usize::from(value.abs() < 10.0)
    };
    format!("{value:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{MarkKind, Unit};

    fn mark(kind: MarkKind, shift_ms: f64, interval: [f64; 2]) -> MarkRepeatability {
        MarkRepeatability {
            kind,
            n: 10,
            unpaired_earlier: 1,
            unpaired_again: 0,
            sem_ms: Some(9.0),
            sem_interval_ms: None,
            mdc_ms: Some(24.9),
            own_sem_ms: Some(7.6),
            sem_frames: None,
            mdc_frames: None,
            shift_ms: Some(shift_ms),
            shift_interval_ms: Some(interval),
            too_few: None,
        }
    }

    #[test]
    fn the_sentences_say_what_a_change_must_exceed_and_what_has_shifted() {
        let repeatability = Repeatability {
            passes: 1,
            per_mark: vec![
                mark(MarkKind::Entry, 1.0, [-3.0, 5.0]),
                mark(MarkKind::Catch, -12.4, [-19.2, -5.6]),
            ],
            per_measure: vec![MeasureRepeatability {
                kind: MeasureKind::PropulsiveGap,
                unit: Unit::Seconds,
                n: 8,
                sem: Some(0.012),
                sem_interval: None,
                mdc: None,
                own_sem: None,
                shift: None,
                shift_interval: None,
                too_few: None,
            }],
        };
        // 1.96·12·√(2/8) = 11.76 ms.
        assert_eq!(
            repeatability.sentences(),
            [
                "A change of the mean gap under 12 ms may be your hand, not the swimmer (with 8 values before and 8 after).",
                "You now mark the catch 12 ms earlier than before (95 % interval 5.6 to 19): settle on one frame for it.",
                "Without a partner, and not counted: 2 of the first marks, 0 of the second (a partner lies within half the way to the next of its kind).",
            ]
        );
        assert!(Repeatability::default().sentences().is_empty());
    }
}
