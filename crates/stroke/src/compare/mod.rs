//! Did it change, and is that more than noise? Two sets of cycles, measure by measure.
//!
//! A difference must pass three gates before it is called a change: the length of the frames, the coach's own
//! marking where it is known, and the variation from stroke to stroke, by Welch's t **and** a permutation test,
//! each adjusted for all questions asked at once (Holm). Formulas and sources: `METHODS.md`.
//!
//! Not for: whether a change is good. That is the coach's.

mod comparison;
mod confounders;
mod holm;
mod judge;
mod permutation;
mod plan;
#[cfg(test)]
mod reference;
mod selected;
mod t_test;
mod values;
mod words;

use std::collections::BTreeMap;

use crate::Side;
use crate::measure::BreathingSplit;
use crate::measure_kind::{MeasureKind, Unit};
use crate::repeatability::Repeatability;
use crate::statistics::{FEWEST_FOR_INTERVAL, StudentQuantiles};

pub use comparison::{
    Comparison, ComparisonAbsence, ComparisonAbsenceKind, Confounder, ConfounderKind, CycleValue, Difference,
    Gate, Gates, MeasureComparison, OperatorError, PermutationTest, SetSummary, SetValues, Verdict,
    WelchTest,
};
pub use plan::{FilmingQuestion, FilmingRow, MOST_CYCLES, POWER, plan_filming};
pub use selected::{Conditions, SelectedCycles, Selection};

use holm::{Adjusted, holm};
use judge::Evidence;
use permutation::Permuted;
use plan::fewest_cycles;
use t_test::{Sample, TTest};
use values::{Items, Measured, Placed};
use words::{counted, subject};

/// How to compare.
#[derive(Clone, Copy, Debug, Default)]
pub struct CompareOptions<'a> {
    /// Item i of the first set belongs to item i of the second: the same sets swum twice. Items are the parts of
    /// the sets; where each set is a single part, its cycles in order.
    pub paired: bool,
    /// What is known of the coach's own marking error.
    pub repeatability: Option<&'a Repeatability>,
    /// Seed of the arrangements that are drawn where there are too many to go through.
    pub seed: u64,
    /// The kinds to compare; empty = all. Fewer questions need less to be answered, but only if they were
    /// chosen before looking.
    pub kinds: &'a [MeasureKind],
}

/// One measure of both sets before it is judged against the others.
struct Asked<'a> {
    kind: MeasureKind,
    side: Option<Side>,
    before: Vec<Placed<'a>>,
    after: Vec<Placed<'a>>,
    outcome: Result<Answered, ComparisonAbsence>,
    difference: Option<Difference>,
}

struct Answered {
    before: Measured,
    after: Measured,
    frame_limit: f64,
    t_test: TTest,
    permuted: Permuted,
    hedges_g: Option<f64>,
}

/// Compares two sets of cycles. The same input gives the same output, the drawn arrangements included.
#[must_use]
pub fn compare(before: &[SelectedCycles], after: &[SelectedCycles], options: &CompareOptions) -> Comparison {
    let of_before = placed_values(before);
    let of_after = placed_values(after);
    let mut asked = Vec::new();
    for kind in MeasureKind::ALL {
        if !options.kinds.is_empty() && !options.kinds.contains(&kind) {
            continue;
        }
        for side in [None, Some(Side::Left), Some(Side::Right)] {
            let [before_values, after_values] =
                [(before, &of_before), (after, &of_after)].map(|(set, places)| {
                    places
                        .get(&(kind, side))
                        .map_or_else(Vec::new, |places| place(set, places))
                });
            if !before_values.is_empty() || !after_values.is_empty() {
                asked.push(Asked::of(
                    kind,
                    side,
                    before_values,
                    after_values,
                    [before, after],
                    options,
                ));
            }
        }
    }
    let answered: Vec<(&Asked, &Answered)> = asked
        .iter()
        .filter_map(|asked| Some((asked, asked.outcome.as_ref().ok()?)))
        .collect();
    let tests = |p: &dyn Fn(&Answered) -> f64| -> Vec<(Question, f64)> {
        answered
            .iter()
            .map(|(asked, answered)| (question(asked.kind, asked.side), p(answered)))
            .collect()
    };
    let (by_welch, questions) = holm(&tests(&|answered| answered.t_test.p));
    let (by_permutation, _) = holm(&tests(&|answered| answered.permuted.p));
    let mut adjusted = by_welch.into_iter().zip(by_permutation);
    let mut quantiles = StudentQuantiles::default();
    let lowest_rate_fps = before
        .iter()
        .chain(after)
        .map(|part| part.frame_rate_fps)
        .fold(f64::INFINITY, f64::min);
    let measures: Vec<MeasureComparison> = asked
        .iter()
        .map(|asked| {
            let adjusted = if asked.outcome.is_ok() {
                adjusted.next()
            } else {
                None
            };
            asked.written(adjusted, questions, lowest_rate_fps, options, &mut quantiles)
        })
        .collect();
    let knows = measures
        .iter()
        .any(|measure| measure.gates.operator.passed.is_some());
    Comparison {
        before: summary(before),
        after: summary(after),
        paired: options.paired,
        confounders: confounders::confounders(before, after),
        operator_error: if knows {
            OperatorError::Known
        } else {
            OperatorError::NotKnown
        },
        questions,
        measures,
    }
}

/// What is asked: measures that say the same in other words share one.
type Question = (MeasureKind, Option<Side>);

fn question(kind: MeasureKind, side: Option<Side>) -> Question {
    use MeasureKind as Kind;
    match kind {
        Kind::StrokeRate | Kind::CycleRate | Kind::StrokeInterval => (Kind::CycleDuration, side),
        Kind::PropulsiveGapFrames => (Kind::PropulsiveGap, side),
        Kind::BreathTurnToClearFrames => (Kind::BreathTurnToClear, side),
        Kind::BreathOpenFrames => (Kind::BreathOpen, side),
        Kind::ExhaleFrames => (Kind::Exhale, side),
        Kind::BreathHoldFrames => (Kind::BreathHold, side),
        // The share carries the side of the arm that waits, the index that of the arm that ends.
        Kind::PropulsiveGapShare => (Kind::IndexOfCoordination, side.map(Side::other)),
        _ => (kind, side),
    }
}

/// The places of the values of each kind and side: part, value.
type Places = BTreeMap<(MeasureKind, Option<Side>), Vec<(usize, usize)>>;

fn placed_values(set: &[SelectedCycles]) -> Places {
    let mut places: Places = BTreeMap::new();
    for (part, of) in set.iter().enumerate() {
        for (index, value) in of.values.iter().enumerate() {
            places
                .entry((value.kind, value.side))
                .or_default()
                .push((part, index));
            if value.stands_alone && value.side.is_some() {
                places.entry((value.kind, None)).or_default().push((part, index));
            }
        }
    }
    places
}

fn place<'a>(set: &'a [SelectedCycles], places: &[(usize, usize)]) -> Vec<Placed<'a>> {
    let mut placed: Vec<Placed> = places
        .iter()
        .map(|(part, index)| Placed {
            part: *part,
            of: &set[*part],
            value: &set[*part].values[*index],
        })
        .collect();
    tiny_sort::stable::sort_by_key(&mut placed, |placed| {
        (placed.part, placed.value.span.map(|span| span.start))
    });
    placed
}

impl<'a> Asked<'a> {
    fn of(
        kind: MeasureKind,
        side: Option<Side>,
        before: Vec<Placed<'a>>,
        after: Vec<Placed<'a>>,
        sets: [&[SelectedCycles]; 2],
        options: &CompareOptions,
    ) -> Self {
        let mut difference = None;
        let outcome = answer(kind, &before, &after, sets, options, &mut difference);
        Self {
            kind,
            side,
            before,
            after,
            outcome,
            difference,
        }
    }

    fn written(
        &self,
        adjusted: Option<(Adjusted, Adjusted)>,
        questions: u32,
        frame_rate_fps: f64,
        options: &CompareOptions,
        quantiles: &mut StudentQuantiles,
    ) -> MeasureComparison {
        let mut written = MeasureComparison {
            kind: self.kind,
            side: self.side,
            unit: self.kind.unit(),
            before: values::written(&self.before, self.kind, quantiles),
            after: values::written(&self.after, self.kind, quantiles),
            difference: self.difference.clone(),
            absence: None,
            welch: None,
            permutation: None,
            hedges_g: None,
            gates: no_gates(),
            verdict: Verdict::NotComparable,
            sentence: String::new(),
            settle: None,
        };
        let (answered, difference, (by_welch, by_permutation)) =
            match (&self.outcome, &self.difference, adjusted) {
                (Ok(answered), Some(difference), Some(adjusted)) => (answered, difference, adjusted),
                (outcome, ..) => {
                    let absence = outcome.as_ref().err().cloned();
                    let message = absence.as_ref().map_or("", |absence| absence.message.as_str());
                    written.sentence = format!("{}: {message}", subject(self.kind, self.side));
                    written.settle = absence.as_ref().map(|absence| absence.hint.clone());
                    written.absence = absence;
                    return written;
                }
            };
        let Answered {
            before,
            after,
            frame_limit,
            t_test,
            permuted,
            hedges_g,
        } = answered;
        let repeatability = options
            .repeatability
            .and_then(|known| known.of_measure(self.kind));
        let judgement = Evidence {
            kind: self.kind,
            side: self.side,
            before,
            after,
            paired: options.paired,
            difference,
            frame_limit: *frame_limit,
            t_test,
            p_holm: by_welch.p_holm.max(by_permutation.p_holm),
            p_alone: t_test.p.max(permuted.p),
            factor: by_welch.factor.max(by_permutation.factor),
            questions,
            operator_threshold: repeatability
                .and_then(|measure| measure.smallest_change_of_means(before.readings, after.readings)),
            frame_rate_fps,
        }
        .judge();
        MeasureComparison {
            welch: Some(WelchTest {
                t: t_test.t,
                degrees_of_freedom: t_test.degrees_of_freedom,
                p: t_test.p,
                p_holm: by_welch.p_holm,
            }),
            permutation: Some(PermutationTest {
                p: permuted.p,
                p_holm: by_permutation.p_holm,
                arrangements: permuted.arrangements,
                exact: permuted.exact,
            }),
            hedges_g: *hedges_g,
            gates: judgement.gates,
            verdict: judgement.verdict,
            sentence: judgement.sentence,
            settle: judgement.settle,
            ..written
        }
    }
}

fn no_gates() -> Gates {
    let gate = || Gate {
        passed: None,
        threshold: None,
        reason: "There is nothing to compare.".to_owned(),
    };
    Gates {
        frame: gate(),
        operator: gate(),
        strokes: gate(),
    }
}

/// Tests one measure, or says why not. The difference is given as far as there is one.
fn answer(
    kind: MeasureKind,
    before: &[Placed],
    after: &[Placed],
    sets: [&[SelectedCycles]; 2],
    options: &CompareOptions,
    difference: &mut Option<Difference>,
) -> Result<Answered, ComparisonAbsence> {
    for (values, name) in [(before, "before"), (after, "after")] {
        if values.is_empty() {
            return Err(absence(
                ComparisonAbsenceKind::NoValues,
                format!("There is no value {name}."),
                "Mark what it needs in both clips.".to_owned(),
            ));
        }
    }
    if kind.unit() == Unit::Frames && confounders::rates_differ(sets[0].iter().chain(sets[1])) {
        return Err(absence(
            ComparisonAbsenceKind::DifferentFrameRates,
            "Frames of different length cannot be counted against each other.".to_owned(),
            "Compare the same in ms.".to_owned(),
        ));
    }
    let items = if options.paired && sets.iter().any(|set| set.len() > 1) {
        Items::Parts
    } else {
        Items::Values
    };
    let measured = |values: &[Placed], name: &str| {
        Measured::of(values, kind, items).ok_or_else(|| {
            absence(
                ComparisonAbsenceKind::AllFlagged,
                format!("Every value {name} is flagged ({}).", values.len()),
                "Look at the flagged marks and mend them.".to_owned(),
            )
        })
    };
    let (mut of_before, mut of_after) = (measured(before, "before")?, measured(after, "after")?);
    if options.paired {
        let counts = match items {
            Items::Values => [before.len(), after.len()],
            Items::Parts => sets.map(<[_]>::len),
        };
        let (before, after) = pairs(before, after, items, counts)?;
        let both = Measured::of(&before, kind, items).zip(Measured::of(&after, kind, items));
        (of_before, of_after) = both.ok_or_else(|| {
            absence(
                ComparisonAbsenceKind::AllFlagged,
                "In every pair a value is flagged.".to_owned(),
                "Look at the flagged marks and mend them.".to_owned(),
            )
        })?;
    }
    let frames = Measured::frames_share_in_difference(&of_before, &of_after);
    let difference = difference.insert(Difference {
        value: of_after.sample().mean - of_before.sample().mean,
        interval: None,
        frame_uncertainty: frames.uncertainty,
    });
    if values_are_shared(before, after) {
        return Err(absence(
            ComparisonAbsenceKind::SharedCycles,
            "Some cycles are in both sets.".to_owned(),
            "Choose sets that have no cycle in common.".to_owned(),
        ));
    }
    let fewest = of_before.items.len().min(of_after.items.len());
    if fewest < FEWEST_FOR_INTERVAL {
        return Err(too_few(&of_before, &of_after, options.paired));
    }
    let (t_test, permuted, hedges_g) = if options.paired {
        let differences: Vec<f64> = of_before
            .items
            .iter()
            .zip(&of_after.items)
            .map(|(before, after)| after - before)
            .collect();
        let sample = paired_sample(&differences, &of_before, &of_after);
        (
            t_test::paired(sample),
            permutation::paired(&differences, options.seed),
            t_test::hedges_g_paired(sample),
        )
    } else {
        let (first, second) = (of_before.sample(), of_after.sample());
        (
            t_test::welch(first, second),
            permutation::two_samples(&of_before.items, &of_after.items, options.seed),
            t_test::hedges_g(first, second),
        )
    };
    let t_test = t_test.ok_or_else(|| {
        absence(
            ComparisonAbsenceKind::NoSpread,
            "All values of each set are the same: there is no spread to compare the difference with."
                .to_owned(),
            "More cycles may show one.".to_owned(),
        )
    })?;
    difference.interval = t_test
        .half_width(plan::LEVEL)
        .map(|half| [difference.value - half, difference.value + half]);
    Ok(Answered {
        before: of_before,
        after: of_after,
        frame_limit: frames.limit,
        t_test,
        permuted,
        hedges_g,
    })
}

/// The values of the pairs in which neither is flagged: the first before is held against the first after, and so
/// on, whichever of them count.
fn pairs<'a>(
    before: &[Placed<'a>],
    after: &[Placed<'a>],
    items: Items,
    [count_before, count_after]: [usize; 2],
) -> Result<(Vec<Placed<'a>>, Vec<Placed<'a>>), ComparisonAbsence> {
    if count_before != count_after {
        return Err(absence(
            ComparisonAbsenceKind::UnequalPairs,
            format!(
                "Paired sets need as many items before as after: there are {count_before} and {count_after}."
            ),
            "Choose sets of the same length, or compare them unpaired.".to_owned(),
        ));
    }
    let counts = |placed: &&Placed<'a>| !placed.value.flagged;
    Ok(match items {
        Items::Values => {
            let pairs = before.iter().zip(after);
            pairs
                .filter(|(before, after)| counts(before) && counts(after))
                .map(|(before, after)| (*before, *after))
                .unzip()
        }
        Items::Parts => {
            let is_in =
                |set: &[Placed<'a>], part: usize| set.iter().filter(counts).any(|placed| placed.part == part);
            let in_both = |set: &[Placed<'a>]| {
                let of_pairs = set
                    .iter()
                    .filter(|placed| is_in(before, placed.part) && is_in(after, placed.part));
                of_pairs.copied().collect()
            };
            (in_both(before), in_both(after))
        }
    })
}

fn absence(kind: ComparisonAbsenceKind, message: String, hint: String) -> ComparisonAbsence {
    ComparisonAbsence { kind, message, hint }
}

fn too_few(before: &Measured, after: &Measured, paired: bool) -> ComparisonAbsence {
    let name = if paired { "pair" } else { "cycle" };
    let [before, after] = [before, after].map(|set| u32::try_from(set.items.len()).unwrap_or(u32::MAX));
    absence(
        ComparisonAbsenceKind::TooFewCycles,
        format!(
            "Only {} before and {} after.",
            counted(before, name),
            counted(after, name)
        ),
        format!(
            "At least {FEWEST_FOR_INTERVAL} in each set are needed to see how much they vary, and {} before any change can \
             stand out from chance.",
            fewest_cycles(1.0)
        ),
    )
}

fn values_are_shared(before: &[Placed], after: &[Placed]) -> bool {
    let place = |placed: &Placed| {
        placed
            .value
            .span
            .map(|span| (placed.of.clip, span.start, span.end))
    };
    let known: std::collections::BTreeSet<_> = before.iter().filter_map(place).collect();
    after.iter().filter_map(place).any(|place| known.contains(&place))
}

/// The pairs' differences; their variance is never below the frames' share.
#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 strokes")]
fn paired_sample(differences: &[f64], before: &Measured, after: &Measured) -> Sample {
    let spread = crate::statistics::standard_deviation(differences).unwrap_or(0.0);
    Sample {
        n: differences.len() as f64,
        mean: crate::statistics::mean(differences).unwrap_or(0.0),
        variance: (spread * spread).max(before.frame_variance_of_item + after.frame_variance_of_item),
    }
}

fn summary(set: &[SelectedCycles]) -> SetSummary {
    let mut summary = SetSummary {
        cycles: set.iter().map(|part| part.cycles).sum(),
        frame_rate_fps: Vec::new(),
        breathing: set
            .first()
            .map_or(BreathingSplit::All, |part| part.selection.breathing),
        clips: Vec::new(),
        athletes: Vec::new(),
    };
    for part in set {
        if !summary.frame_rate_fps.contains(&part.frame_rate_fps) {
            summary.frame_rate_fps.push(part.frame_rate_fps);
        }
        if !summary.clips.contains(&part.clip) {
            summary.clips.push(part.clip);
        }
        if !summary.athletes.contains(&part.conditions.athlete) {
            summary.athletes.push(part.conditions.athlete.clone());
        }
        if part.selection.breathing != summary.breathing {
            summary.breathing = BreathingSplit::All;
        }
    }
    summary
}
