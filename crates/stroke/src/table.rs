//! Collects the rows of one kind of measure after another and takes their means.

use smallvec::SmallVec;

use crate::absence::{Absence, AbsenceKind};
use crate::measure::{BreathingSplit, Measure, Quantity, Span};
use crate::measure_kind::{MeasureKind, Unit};
use crate::ordered::Marks;
use crate::statistics::{StudentQuantiles, as_rate, mean, standard_deviation};
use crate::uncertain::{Estimate, Input};
use crate::{MarkId, Side};

/// The means that a kind can have.
const GROUP_SIDES: [Option<Side>; 3] = [Some(Side::Left), Some(Side::Right), None];
const SPLITS: [BreathingSplit; 3] = [
    BreathingSplit::All,
    BreathingSplit::Breathing,
    BreathingSplit::NonBreathing,
];

/// A mean over more marks than this lists only the first and the last: nobody looks through a thousand frames
/// one by one, and every cycle lists its own.
const MOST_LISTED: usize = 400;

/// One number, or why there is none, of one cycle, hand-over, breath or kick-out.
pub(crate) struct Row {
    pub(crate) side: Option<Side>,
    /// `None`: it counts in the means but has no line of its own.
    pub(crate) cycle: Option<u32>,
    pub(crate) breathing: Option<bool>,
    pub(crate) outcome: Result<Estimate, AbsenceKind>,
    /// The marks that it speaks of, where the estimate does not say so itself.
    pub(crate) about: SmallVec<[Input; 6]>,
}

/// A row as it was listed: what is needed to take means over other choices of rows.
#[derive(Clone)]
pub(crate) struct KeptRow {
    pub(crate) kind: MeasureKind,
    pub(crate) side: Option<Side>,
    pub(crate) cycle: Option<u32>,
    pub(crate) breathing: Option<bool>,
    pub(crate) outcome: Result<Estimate, AbsenceKind>,
    /// As [`Means::over`].
    pub(crate) over: Option<f64>,
    /// As [`Means::sides`].
    pub(crate) sides: Sides,
    pub(crate) span: Option<Span>,
    /// As [`Measure::flags`].
    pub(crate) flags: Vec<u32>,
}

/// How the rows of a kind become means.
#[derive(Clone, Copy)]
pub(crate) struct Means<'r> {
    /// Which sides have a mean of their own.
    pub(crate) sides: Sides,
    /// Whether breathing and non-breathing strokes have means of their own.
    pub(crate) split: bool,
    /// The rows are x, the measure is this / x: its mean is this / mean of x.
    pub(crate) over: Option<f64>,
    /// Why a mean has no rows at all.
    pub(crate) none: &'r dyn Fn(Option<Side>, BreathingSplit) -> AbsenceKind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sides {
    /// Left, right, and both pooled.
    Pooled,
    /// Left, right, and the rows that speak of both.
    Apart,
    /// Only all together.
    Together,
}

/// The numbers that one mean is taken over, with the sum of their gradients.
struct Sample {
    values: Vec<f64>,
    gradient: Vec<f64>,
    seen: Vec<bool>,
    touched: Vec<Input>,
    flags: Vec<u32>,
    first_absence: Option<AbsenceKind>,
}

impl Sample {
    fn new(inputs: usize) -> Self {
        Self {
            values: Vec::new(),
            gradient: vec![0.0; inputs],
            seen: vec![false; inputs],
            touched: Vec::new(),
            flags: Vec::new(),
            first_absence: None,
        }
    }

    fn touch(&mut self, input: Input) {
        let seen = &mut self.seen[input as usize];
        if !*seen {
            *seen = true;
            self.touched.push(input);
        }
    }

    fn add(&mut self, outcome: &Result<Estimate, AbsenceKind>, about: &[Input], flags: &[u32]) {
        match outcome {
            Ok(estimate) => {
                self.values.push(estimate.value);
                for (input, partial) in estimate.gradient() {
                    self.gradient[*input as usize] += partial;
                    self.touch(*input);
                }
                for input in about {
                    self.touch(*input);
                }
            }
            Err(absence) => {
                self.first_absence.get_or_insert(*absence);
            }
        }
        self.flags.extend_from_slice(flags);
    }

    fn clear(&mut self) {
        self.values.clear();
        for input in self.touched.drain(..) {
            self.gradient[input as usize] = 0.0;
            self.seen[input as usize] = false;
        }
        self.flags.clear();
        self.first_absence = None;
    }

    fn variance_of_sum(&self, variances: &[f64]) -> f64 {
        self.touched
            .iter()
            .map(|input| {
                let partial = self.gradient[*input as usize];
                partial * partial * variances[*input as usize]
            })
            .sum()
    }
}

/// The table of measures in the making.
pub(crate) struct Table<'a> {
    marks: &'a Marks<'a>,
    flags_by_mark: &'a [Vec<u32>],
    breathing_is_known: bool,
    variances_frames2: Vec<f64>,
    samples: Vec<Sample>,
    scratch: Vec<f64>,
    quantiles: StudentQuantiles,
    measures: Vec<Measure>,
    kept: Option<Vec<KeptRow>>,
}

impl<'a> Table<'a> {
    pub(crate) fn new(
        marks: &'a Marks<'a>,
        flags_by_mark: &'a [Vec<u32>],
        breathing_is_known: bool,
        rows: usize,
    ) -> Self {
        let inputs = marks.variances_s2.len();
        Self {
            marks,
            flags_by_mark,
            breathing_is_known,
            variances_frames2: vec![1.0 / 12.0; inputs],
            samples: (0..GROUP_SIDES.len() * SPLITS.len())
                .map(|_| Sample::new(inputs))
                .collect(),
            scratch: vec![0.0; inputs],
            quantiles: StudentQuantiles::default(),
            measures: Vec::with_capacity(rows),
            kept: None,
        }
    }

    /// The same table, which also keeps the rows that it is given.
    pub(crate) fn keeping_rows(mut self) -> Self {
        self.kept = Some(Vec::new());
        self
    }

    /// The measures, and the rows where they were kept.
    pub(crate) fn finish(self) -> (Vec<Measure>, Vec<KeptRow>) {
        (self.measures, self.kept.unwrap_or_default())
    }

    /// Lists the rows of a kind and then their means.
    pub(crate) fn add_kind(&mut self, kind: MeasureKind, means: Means, rows: impl Iterator<Item = Row>) {
        for sample in &mut self.samples {
            sample.clear();
        }
        for row in rows {
            self.add_row(kind, &means, &row);
        }
        for (side_place, side) in GROUP_SIDES.into_iter().enumerate() {
            if means.sides == Sides::Together && side.is_some() {
                continue;
            }
            for (split_place, split) in SPLITS.into_iter().enumerate() {
                if split == BreathingSplit::All || means.split {
                    self.add_mean(kind, means, side, split, side_place * SPLITS.len() + split_place);
                }
            }
        }
    }

    fn add_row(&mut self, kind: MeasureKind, means: &Means, row: &Row) {
        let flags = self.flags_of(row);
        if self.kept.is_some() {
            let kept = self.kept_row(kind, means, row, flags.clone());
            self.kept.get_or_insert_default().push(kept);
        }
        let split = match row.breathing {
            None => BreathingSplit::All,
            Some(true) => BreathingSplit::Breathing,
            Some(false) => BreathingSplit::NonBreathing,
        };
        let side_place = match row.side {
            Some(Side::Left) => 0,
            Some(Side::Right) => 1,
            _ => 2,
        };
        let own = (means.sides != Sides::Together).then_some(side_place);
        let pooled = means.sides == Sides::Together || (means.sides == Sides::Pooled && side_place != 2);
        for place in own.into_iter().chain(pooled.then_some(2)) {
            self.samples[place * SPLITS.len()].add(&row.outcome, &row.about, &flags);
            if means.split && split != BreathingSplit::All {
                let split_place = if split == BreathingSplit::Breathing { 1 } else { 2 };
                self.samples[place * SPLITS.len() + split_place].add(&row.outcome, &row.about, &flags);
            }
        }
        let Some(cycle) = row.cycle else { return };
        let (quantity, absence) = match &row.outcome {
            Ok(estimate) => {
                let variances = self.variances(kind);
                let (value, uncertainty) = match means.over {
                    Some(numerator) => (
                        numerator / estimate.value,
                        estimate.uncertainty_of_reciprocal(numerator, variances),
                    ),
                    None => (estimate.value, estimate.uncertainty(variances)),
                };
                (
                    Some(Quantity {
                        value,
                        uncertainty,
                        unit: kind.unit(),
                    }),
                    None,
                )
            }
            Err(absence) => (None, Some(Absence { kind: *absence })),
        };
        let (span, marks) = self.place_of(row);
        self.measures.push(Measure {
            kind,
            side: row.side,
            cycle: Some(cycle),
            breathing: split,
            n: u32::from(quantity.is_some()),
            quantity,
            absence,
            sd: None,
            interval: None,
            span,
            marks,
            flags,
        });
    }

    /// Where in the clip a row is, and the marks it speaks of, in time order.
    #[inline]
    fn place_of(&self, row: &Row) -> (Option<Span>, SmallVec<[MarkId; 6]>) {
        let mut few = [0; 6];
        let mut many: SmallVec<[Input; 6]>;
        let about = match &row.outcome {
            Ok(estimate) if row.about.is_empty() && estimate.gradient().len() <= few.len() => {
                let speed = self.marks.speed_input();
                let mut count = 0;
                for (input, _) in estimate.gradient() {
                    if *input != speed {
                        few[count] = *input;
                        count += 1;
                    }
                }
                &mut few[..count]
            }
            Ok(estimate) if row.about.is_empty() => {
                let speed = self.marks.speed_input();
                many = estimate
                    .gradient()
                    .iter()
                    .map(|(input, _)| *input)
                    .filter(|input| *input != speed)
                    .collect();
                &mut many[..]
            }
            _ => {
                many = row.about.clone();
                &mut many[..]
            }
        };
        in_order(about);
        (self.span(about), self.ids(about))
    }

    fn kept_row(&self, kind: MeasureKind, means: &Means, row: &Row, flags: Vec<u32>) -> KeptRow {
        KeptRow {
            kind,
            side: row.side,
            cycle: row.cycle,
            breathing: row.breathing,
            outcome: row.outcome.clone(),
            over: means.over,
            sides: means.sides,
            span: self.place_of(row).0,
            flags,
        }
    }

    fn add_mean(
        &mut self,
        kind: MeasureKind,
        means: Means,
        side: Option<Side>,
        split: BreathingSplit,
        place: usize,
    ) {
        let sample = &mut self.samples[place];
        tiny_sort::unstable::sort(&mut sample.flags);
        sample.flags.dedup();
        let flags = sample.flags.clone();
        let none = sample.first_absence.unwrap_or_else(|| match split {
            BreathingSplit::All => (means.none)(side, split),
            _ if !self.breathing_is_known => AbsenceKind::NoBreathMarked,
            _ => match (means.none)(side, split) {
                AbsenceKind::ArmNotMarked => AbsenceKind::ArmNotMarked,
                _ if split == BreathingSplit::Breathing => AbsenceKind::NoBreathingStroke,
                _ => AbsenceKind::NoNonBreathingStroke,
            },
        });
        let n = sample.values.len();
        let sample = &self.samples[place];
        let Some(mean) = mean(&sample.values) else {
            self.measures.push(absent(kind, side, split, none, flags));
            return;
        };
        let uncertainty = sample.variance_of_sum(self.variances(kind)).sqrt() / count(n);
        let spread = standard_deviation(&sample.values);
        let half_width = spread.and_then(|spread| self.quantiles.half_width(n, spread));
        let interval = half_width.map(|half_width| [mean - half_width, mean + half_width]);
        let sample = &mut self.samples[place];
        let (value, uncertainty, interval, sd) = match means.over {
            None => (mean, uncertainty, interval, spread),
            Some(numerator) => {
                for value in &mut sample.values {
                    *value = numerator / *value;
                }
                let (rate, uncertainty, interval) = as_rate(numerator, mean, uncertainty, interval);
                (rate, uncertainty, interval, standard_deviation(&sample.values))
            }
        };
        let about = self.listed(&[place]);
        self.measures.push(Measure {
            kind,
            side,
            cycle: None,
            breathing: split,
            quantity: Some(Quantity {
                value,
                uncertainty,
                unit: kind.unit(),
            }),
            absence: None,
            n: u32::try_from(n).unwrap_or(u32::MAX),
            sd,
            interval,
            span: self.span(&about),
            marks: self.ids(&about),
            flags,
        });
    }

    /// Compares the mean of the right side with that of the left, of the kind that was added last. `combine`
    /// gives the value and its derivatives with respect to the left and the right mean.
    pub(crate) fn compare_sides(
        &mut self,
        kind: MeasureKind,
        split_by_breathing: bool,
        combine: impl Fn(f64, f64) -> Option<[f64; 3]>,
    ) -> Vec<Measure> {
        let last = if split_by_breathing { SPLITS.len() } else { 1 };
        (0..last)
            .map(|split_place| self.comparison(kind, split_place, &combine))
            .collect()
    }

    fn comparison(
        &mut self,
        kind: MeasureKind,
        split_place: usize,
        combine: &impl Fn(f64, f64) -> Option<[f64; 3]>,
    ) -> Measure {
        let split = SPLITS[split_place];
        let [left, right] = [
            &self.samples[split_place],
            &self.samples[SPLITS.len() + split_place],
        ];
        let mut flags: Vec<u32> = left.flags.iter().chain(&right.flags).copied().collect();
        tiny_sort::unstable::sort(&mut flags);
        flags.dedup();
        let (Some(left_mean), Some(right_mean)) = (mean(&left.values), mean(&right.values)) else {
            let why = match split {
                _ if left.values.is_empty() != right.values.is_empty() && split == BreathingSplit::All => {
                    AbsenceKind::OtherArmNotMarked
                }
                BreathingSplit::All => AbsenceKind::NoCompleteCycle,
                _ if !self.breathing_is_known => AbsenceKind::NoBreathMarked,
                BreathingSplit::Breathing => AbsenceKind::NoBreathingStroke,
                BreathingSplit::NonBreathing => AbsenceKind::NoNonBreathingStroke,
            };
            let why = left.first_absence.or(right.first_absence).unwrap_or(why);
            return absent(kind, None, split, why, flags);
        };
        let Some([value, by_left, by_right]) = combine(left_mean, right_mean) else {
            return absent(kind, None, split, AbsenceKind::NothingToCompare, flags);
        };
        let n = left.values.len().min(right.values.len());
        for (sample, slope) in [
            (left, by_left / count(left.values.len())),
            (right, by_right / count(right.values.len())),
        ] {
            for input in &sample.touched {
                self.scratch[*input as usize] += slope * sample.gradient[*input as usize];
            }
        }
        // A mark of both sides is met twice, the second time as 0.
        let variance: f64 = left
            .touched
            .iter()
            .chain(&right.touched)
            .map(|input| {
                let partial = std::mem::take(&mut self.scratch[*input as usize]);
                partial * partial * self.marks.variances_s2[*input as usize]
            })
            .sum();
        let about = self.listed(&[split_place, SPLITS.len() + split_place]);
        Measure {
            kind,
            side: None,
            cycle: None,
            breathing: split,
            quantity: Some(Quantity {
                value,
                uncertainty: variance.sqrt(),
                unit: kind.unit(),
            }),
            absence: None,
            n: u32::try_from(n).unwrap_or(u32::MAX),
            sd: None,
            interval: None,
            span: self.span(&about),
            marks: self.ids(&about),
            flags,
        }
    }

    /// Appends measures that were made earlier.
    pub(crate) fn append(&mut self, measures: Vec<Measure>) {
        self.measures.extend(measures);
    }

    /// The marks that a mean lists: all that the samples touch, in time order, or of very many the two that
    /// bound them.
    fn listed(&self, places: &[usize]) -> Vec<Input> {
        let speed = self.marks.speed_input();
        let touched = || {
            let samples = places.iter().map(|place| &self.samples[*place]);
            samples
                .flat_map(|sample| sample.touched.iter().copied())
                .filter(|input| *input != speed)
        };
        let count: usize = places
            .iter()
            .map(|place| self.samples[*place].touched.len())
            .sum();
        let mut about: Vec<Input> = if count > MOST_LISTED {
            let bounds = touched().fold(None, |bounds, input| match bounds {
                None => Some((input, input)),
                Some((first, last)) => Some((input.min(first), input.max(last))),
            });
            bounds
                .into_iter()
                .flat_map(|(first, last)| [first, last])
                .collect()
        } else {
            touched().collect()
        };
        tiny_sort::unstable::sort(&mut about);
        about.dedup();
        about
    }

    fn variances(&self, kind: MeasureKind) -> &[f64] {
        if kind.unit() == Unit::Frames {
            &self.variances_frames2
        } else {
            &self.marks.variances_s2
        }
    }

    fn flags_at(&self, input: Input) -> &[u32] {
        self.flags_by_mark.get(input as usize).map_or(&[], Vec::as_slice)
    }

    fn flags_of(&self, row: &Row) -> Vec<u32> {
        if self.flags_by_mark.is_empty() {
            return Vec::new();
        }
        let inputs = row.about.iter().copied();
        let used = row
            .outcome
            .iter()
            .flat_map(|estimate| estimate.gradient().iter().map(|(input, _)| *input));
        let mut flags: Vec<u32> = inputs
            .chain(used)
            .flat_map(|input| self.flags_at(input))
            .copied()
            .collect();
        tiny_sort::unstable::sort(&mut flags);
        flags.dedup();
        flags
    }

    #[inline]
    fn ids(&self, about: &[Input]) -> SmallVec<[MarkId; 6]> {
        let mut few = [MarkId(0); 6];
        if about.len() > few.len() {
            return about.iter().map(|input| self.marks.id(*input)).collect();
        }
        for (id, input) in few.iter_mut().zip(about) {
            *id = self.marks.id(*input);
        }
        SmallVec::from_buf_and_len(few, about.len())
    }

    fn span(&self, about: &[Input]) -> Option<Span> {
        Some(Span {
            start: self.marks.time(*about.first()?),
            end: self.marks.time(*about.last()?),
        })
    }
}

/// Sorts the marks of one row: few, and nearly in order.
fn in_order(about: &mut [Input]) {
    for end in 1..about.len() {
        let mut place = end;
        while place > 0 && about[place - 1] > about[place] {
            about.swap(place - 1, place);
            place -= 1;
        }
    }
}

#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 strokes")]
fn count(n: usize) -> f64 {
    n as f64
}

fn absent(
    kind: MeasureKind,
    side: Option<Side>,
    breathing: BreathingSplit,
    why: AbsenceKind,
    flags: Vec<u32>,
) -> Measure {
    Measure {
        kind,
        side,
        cycle: None,
        breathing,
        quantity: None,
        absence: Some(Absence { kind: why }),
        n: 0,
        sd: None,
        interval: None,
        span: None,
        marks: SmallVec::new(),
        flags,
    }
}
