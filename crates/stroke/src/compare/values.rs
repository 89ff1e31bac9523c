//! One measure of one set: the values that count, as numbers for the tests and as they are written.

use crate::measure_kind::{MeasureKind, Unit};
use crate::repeatability::NORMAL_97_5;
use crate::statistics::{StudentQuantiles, as_rate, mean, standard_deviation};
use crate::uncertain::{Estimate, Input};

use super::comparison::{CycleValue, SetValues};
use super::selected::{Selected, SelectedCycles};
use super::t_test::Sample;

/// A chosen value with the place of its part in the set.
#[derive(Clone, Copy)]
pub(super) struct Placed<'a> {
    pub(super) part: usize,
    pub(super) of: &'a SelectedCycles,
    pub(super) value: &'a Selected,
}

/// How a mean moves with each mark of each clip: (clip, input) → partial derivative, variance.
type Slopes = Vec<((u32, Input), f64, f64)>;

/// What the tests need of one set.
pub(super) struct Measured {
    /// What is compared: one number for each item, in order. An item is a value, or in paired sets of several
    /// parts the mean of a part.
    pub(super) items: Vec<f64>,
    /// The frames' share in the variance of one item, mean over the items.
    pub(super) frame_variance_of_item: f64,
    /// The most that frames can move one item, mean over the items: half a frame for each mark.
    frame_limit_of_item: f64,
    slopes: Slopes,
    /// How many single marks' readings of one arm a mean stands on.
    pub(super) readings: u32,
}

/// Below this many times the frames' variance, strokes may keep step with the frames. A mean of values that fall on
/// frames is right to 1/20 frame once they differ by 0.3 frames or more of their own (the error is at most
/// exp(−2π²s²)/π frames for a normal scatter s in frames), and an interval's frame variance is 1/6 frame²:
/// (0.3² + 1/6) / (1/6) = 1.54.
const STEP_SHARE: f64 = 1.5;

/// What one item is.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Items {
    /// Each value.
    Values,
    /// Each part's mean.
    Parts,
}

/// The set as it is written; `None` without any value.
pub(super) fn written(
    placed: &[Placed],
    kind: MeasureKind,
    quantiles: &mut StudentQuantiles,
) -> Option<SetValues> {
    let counted = counted(placed);
    let n = counted.len();
    let of_mean = if counted.is_empty() {
        placed.iter().collect()
    } else {
        counted
    };
    let values: Vec<f64> = of_mean.iter().map(|placed| placed.value.estimate.value).collect();
    let over = of_mean.first()?.value.over;
    let mean = mean(&values)?;
    let spread = standard_deviation(&values).filter(|_| n > 0);
    let frame_variance = average(of_mean.iter().map(|placed| placed.variance(kind)));
    let half_width =
        spread.and_then(|spread| quantiles.half_width(values.len(), spread.max(frame_variance.sqrt())));
    let interval = half_width.map(|half_width| [mean - half_width, mean + half_width]);
    let uncertainty = variance_of(&slopes(&[of_mean], kind)).sqrt();
    let (mean, frame_uncertainty, interval, sd) = match over {
        None => (mean, uncertainty, interval, spread),
        Some(numerator) => {
            let (rate, uncertainty, interval) = as_rate(numerator, mean, uncertainty, interval);
            let rates: Vec<f64> = values.iter().map(|value| numerator / value).collect();
            (
                rate,
                uncertainty,
                interval,
                spread.and_then(|_| standard_deviation(&rates)),
            )
        }
    };
    Some(SetValues {
        n: u32::try_from(n).unwrap_or(u32::MAX),
        mean,
        sd,
        interval,
        frame_uncertainty,
        values: placed.iter().map(|placed| placed.written(kind)).collect(),
    })
}

impl Measured {
    /// The values that count, as items. `None` where there are none.
    pub(super) fn of(placed: &[Placed], kind: MeasureKind, items: Items) -> Option<Self> {
        let counted = counted(placed);
        let over = counted.first()?.value.over;
        let readings = counted.iter().map(|placed| placed.value.readings()).sum();
        let grouped: Vec<Vec<&Placed>> = match items {
            Items::Values => counted.into_iter().map(|placed| vec![placed]).collect(),
            Items::Parts => counted
                .chunk_by(|one, next| one.part == next.part)
                .map(<[_]>::to_vec)
                .collect(),
        };
        let mut numbers: Vec<f64> = grouped
            .iter()
            .map(|item| average(item.iter().map(|placed| placed.value.estimate.value)))
            .collect();
        let of_items: Vec<Slopes> = grouped
            .iter()
            .map(|item| slopes(std::slice::from_ref(item), kind))
            .collect();
        let mut frame_variance_of_item = average(of_items.iter().map(variance_of));
        let mut frame_limit_of_item = average(of_items.iter().map(limit_of));
        let mut slopes = slopes(&grouped, kind);
        if let Some(numerator) = over {
            // A rate is a duration turned over: the tests take the tangent at the mean duration, so that the
            // mean of these numbers is the rate of the mean duration.
            let duration = mean(&numbers)?;
            let rate = numerator / duration;
            let slope = -rate / duration;
            for number in &mut numbers {
                *number = rate + slope * (*number - duration);
            }
            for (_, partial, _) in &mut slopes {
                *partial *= slope;
            }
            frame_variance_of_item *= slope * slope;
            frame_limit_of_item *= slope.abs();
        }
        Some(Self {
            items: numbers,
            frame_variance_of_item,
            frame_limit_of_item,
            slopes,
            readings,
        })
    }

    /// Whether the strokes may have kept step with the frames: the items differ hardly more than frames alone make
    /// them differ. Their frame errors are then alike and need not average out.
    pub(super) fn may_keep_step(&self) -> bool {
        self.own_variance() < STEP_SHARE * self.frame_variance_of_item
    }

    fn own_variance(&self) -> f64 {
        standard_deviation(&self.items).map_or(0.0, |spread| spread * spread)
    }

    /// Mean and variance of the items; the variance is never below the frames' share.
    #[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 strokes")]
    pub(super) fn sample(&self) -> Sample {
        Sample {
            n: self.items.len() as f64,
            mean: average(self.items.iter().copied()),
            variance: self.own_variance().max(self.frame_variance_of_item),
        }
    }

    /// The frames' share in after − before. Marks that both means use cancel.
    ///
    /// Where a set may keep step with the frames, its mean is no surer than one item, and what frames can make
    /// is counted in full: half a frame for each mark, all in the worse direction.
    pub(super) fn frames_share_in_difference(before: &Self, after: &Self) -> FramesShare {
        if before.may_keep_step() || after.may_keep_step() {
            let of_set = |set: &Self| {
                if set.may_keep_step() {
                    (set.frame_variance_of_item, set.frame_limit_of_item)
                } else {
                    let variance = variance_of(&set.slopes);
                    (variance, NORMAL_97_5 * variance.sqrt())
                }
            };
            let ((of_before, limit_before), (of_after, limit_after)) = (of_set(before), of_set(after));
            return FramesShare {
                uncertainty: (of_before + of_after).sqrt(),
                limit: limit_before + limit_after,
            };
        }
        let turned = before
            .slopes
            .iter()
            .map(|(place, partial, variance)| (*place, -partial, *variance));
        let uncertainty = variance_of(&merged(after.slopes.iter().copied().chain(turned).collect())).sqrt();
        FramesShare {
            uncertainty,
            limit: NORMAL_97_5 * uncertainty,
        }
    }
}

/// What the frames alone can make of a difference.
#[derive(Clone, Copy)]
pub(super) struct FramesShare {
    /// Standard uncertainty.
    pub(super) uncertainty: f64,
    /// What a difference must exceed.
    pub(super) limit: f64,
}

impl Placed<'_> {
    fn variances(&self, kind: MeasureKind, input: Input) -> f64 {
        if kind.unit() == Unit::Frames {
            1.0 / 12.0
        } else {
            self.of.variances_s2.get(input as usize).copied().unwrap_or(0.0)
        }
    }

    /// The frames' share in the variance of the estimate.
    fn variance(&self, kind: MeasureKind) -> f64 {
        self.variance_of(&self.value.estimate, kind)
    }

    fn variance_of(&self, estimate: &Estimate, kind: MeasureKind) -> f64 {
        let of_inputs = estimate.gradient().iter();
        of_inputs
            .map(|(input, partial)| partial * partial * self.variances(kind, *input))
            .sum()
    }

    fn written(&self, kind: MeasureKind) -> CycleValue {
        let estimate = match self.value.over {
            Some(numerator) => self.value.estimate.clone().reciprocal(numerator),
            None => self.value.estimate.clone(),
        };
        CycleValue {
            clip: self.of.clip,
            cycle: self.value.cycle,
            side: self.value.side,
            breathing: self.value.breathing,
            value: estimate.value,
            uncertainty: self.variance_of(&estimate, kind).sqrt(),
            span: self.value.span,
            flagged: self.value.flagged,
        }
    }
}

fn counted<'p, 'a>(placed: &'p [Placed<'a>]) -> Vec<&'p Placed<'a>> {
    placed.iter().filter(|placed| !placed.value.flagged).collect()
}

#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 strokes")]
fn average(numbers: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = numbers.len().max(1) as f64;
    numbers.sum::<f64>() / count
}

/// How the mean of the items' means moves with each mark.
#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 strokes")]
fn slopes(items: &[Vec<&Placed>], kind: MeasureKind) -> Slopes {
    let mut all = Vec::new();
    for item in items {
        let weight = 1.0 / (items.len() * item.len()) as f64;
        for placed in item {
            for (input, partial) in placed.value.estimate.gradient() {
                all.push((
                    (placed.of.clip, *input),
                    weight * partial,
                    placed.variances(kind, *input),
                ));
            }
        }
    }
    merged(all)
}

/// One entry for each mark.
fn merged(mut slopes: Slopes) -> Slopes {
    tiny_sort::unstable::sort_by_key(&mut slopes, |(place, ..)| *place);
    slopes.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            kept.1 += next.1;
        }
        same
    });
    slopes
}

/// A uniform error of variance v reaches at most √(3·v) to either side.
fn limit_of(slopes: &Slopes) -> f64 {
    let limits = slopes
        .iter()
        .map(|(_, partial, variance)| partial.abs() * (3.0 * variance).sqrt());
    limits.sum()
}

fn variance_of(slopes: &Slopes) -> f64 {
    slopes
        .iter()
        .map(|(_, partial, variance)| partial * partial * variance)
        .sum()
}
