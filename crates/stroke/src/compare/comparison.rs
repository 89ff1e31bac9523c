//! What a comparison of two sets of cycles says, as plain data.

use serde::{Deserialize, Serialize};

use crate::Side;
use crate::measure::{BreathingSplit, Span};
use crate::measure_kind::{MeasureKind, Unit};

/// Two sets of cycles side by side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Comparison {
    /// The first set.
    pub before: SetSummary,
    /// The second set.
    pub after: SetSummary,
    /// Whether items of the two sets were paired.
    pub paired: bool,
    /// What else differs between the sets and could make the difference.
    pub confounders: Vec<Confounder>,
    /// Whether the coach's own repeatability is known for any measure shown.
    pub operator_error: OperatorError,
    /// How many different questions the measures below ask at once: `p_holm` is adjusted for so many. Measures that
    /// say the same in other words (stroke rate and cycle duration, gap share and index of coordination) are one.
    pub questions: u32,
    /// One for each kind and side that either set has values for, in the order of the kinds.
    pub measures: Vec<MeasureComparison>,
}

/// A set in a few words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetSummary {
    /// Complete cycles of the arm that has more of them.
    pub cycles: u32,
    /// The clips' frame rates, frames a true second, in the order of the parts, each once.
    pub frame_rate_fps: Vec<f64>,
    /// Which strokes were chosen; `all` where the parts differ in that.
    pub breathing: BreathingSplit,
    /// The clips, in the order of the parts, each once.
    pub clips: Vec<u32>,
    /// The swimmers' labels, each once.
    pub athletes: Vec<String>,
}

/// Something else that differs between the sets.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Confounder {
    /// What.
    pub kind: ConfounderKind,
    /// What differs, for the coach.
    pub message: String,
    /// What to do about it.
    pub hint: String,
}

/// What else may differ between two sets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ConfounderKind {
    /// Some cycles are in both sets.
    SharedCycles,
    /// The sets are of different swimmers.
    DifferentAthletes,
    /// The sets were filmed on different days.
    DifferentDates,
    /// Sets of different days may have been marked by different people: a session does not keep who marked it.
    OperatorsNotKnown,
    /// The camera stood elsewhere.
    DifferentViews,
    /// One set with the legs' kick, one without.
    DifferentKick,
    /// Other aids.
    DifferentAids,
    /// Another swimming speed.
    DifferentSpeeds,
    /// Another frame rate.
    DifferentFrameRates,
    /// Breathing strokes against others.
    DifferentBreathing,
}

/// Whether the coach's own repeatability is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OperatorError {
    /// For at least one of the measures.
    Known,
    /// For none.
    NotKnown,
}

/// One measure of both sets.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MeasureComparison {
    /// What is measured.
    pub kind: MeasureKind,
    /// As in [`crate::Measure`]; `None`: of each two-arm cycle the mean of the two arms, or what has no side.
    pub side: Option<Side>,
    /// The unit of every number here; a difference of % is in percentage points.
    pub unit: Unit,
    /// The first set's values; `None` where it has none.
    pub before: Option<SetValues>,
    /// The second set's values.
    pub after: Option<SetValues>,
    /// After − before; from one value on each side.
    pub difference: Option<Difference>,
    /// Why there is no test: always where `verdict` is `not_comparable`.
    pub absence: Option<ComparisonAbsence>,
    /// Welch's t test of the two means; of paired sets the t test of the pairs' differences.
    pub welch: Option<WelchTest>,
    /// The same question without assuming a shape of the values.
    pub permutation: Option<PermutationTest>,
    /// The difference in units of the strokes' own SD, corrected for few values.
    pub hedges_g: Option<f64>,
    /// Beyond the frames, the coach's own marking, and the strokes' own variation?
    pub gates: Gates,
    /// What may be said.
    pub verdict: Verdict,
    /// The same in one sentence.
    pub sentence: String,
    /// What would settle it; `None` where nothing is left to settle or nothing would.
    pub settle: Option<String>,
}

/// One set's values of a measure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetValues {
    /// How many count: those that are not flagged.
    pub n: u32,
    /// Their mean (of rates: the rate of the mean duration, as everywhere).
    pub mean: f64,
    /// Standard deviation (n − 1), frame error included; from n = 2.
    pub sd: Option<f64>,
    /// 95 % t interval of the mean, low and high; from n = 3. Never narrower than the frames allow.
    pub interval: Option<[f64; 2]>,
    /// Standard uncertainty of the mean from the frames and the stated speed.
    pub frame_uncertainty: f64,
    /// Every value in order of clips and time; those flagged are shown and do not count.
    pub values: Vec<CycleValue>,
}

/// One value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CycleValue {
    /// Of which clip.
    pub clip: u32,
    /// Of which cycle, as in [`crate::Measure::cycle`]; of a two-arm cycle that of the leading arm. `None`
    /// where it belongs to no cycle.
    pub cycle: Option<u32>,
    /// Of which side.
    pub side: Option<Side>,
    /// Whether a breath is taken in it; `None` where no breath is marked or it does not apply.
    pub breathing: Option<bool>,
    /// The value.
    pub value: f64,
    /// Its standard uncertainty from the frames and the stated speed.
    pub uncertainty: f64,
    /// Where in the clip; `None` for a value that no mark gives.
    pub span: Option<Span>,
    /// A mark of it is flagged: it does not count.
    pub flagged: bool,
}

/// After − before.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Difference {
    /// The difference of the means (of paired sets: the mean of the pairs' differences).
    pub value: f64,
    /// 95 % interval, low and high, of this measure taken alone; from three values on each side.
    pub interval: Option<[f64; 2]>,
    /// Standard uncertainty of the difference from frames and stated speeds.
    pub frame_uncertainty: f64,
}

/// Why two sets cannot be compared in a measure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ComparisonAbsence {
    /// What stands in the way.
    pub kind: ComparisonAbsenceKind,
    /// The same, for the coach.
    pub message: String,
    /// What would help.
    pub hint: String,
}

/// What stands in the way of a comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ComparisonAbsenceKind {
    /// A set has no value of it.
    NoValues,
    /// A set has fewer values than a spread needs.
    TooFewCycles,
    /// Every value of a set is flagged.
    AllFlagged,
    /// All values of both sets are counts without any spread.
    NoSpread,
    /// Frames of different length cannot be counted against each other.
    DifferentFrameRates,
    /// Some cycles are in both sets.
    SharedCycles,
    /// Paired sets need the same number of items.
    UnequalPairs,
}

/// Welch's t test, two-sided.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct WelchTest {
    /// The statistic, of after − before.
    pub t: f64,
    /// Welch–Satterthwaite; of paired sets pairs − 1.
    pub degrees_of_freedom: f64,
    /// Chance of a difference at least as large where nothing changed.
    pub p: f64,
    /// `p` adjusted for all questions asked at once (Holm).
    pub p_holm: f64,
}

/// Permutation test of the difference of the means, two-sided.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct PermutationTest {
    /// Share of arrangements with a difference at least as large.
    pub p: f64,
    /// `p` adjusted for all questions asked at once (Holm).
    pub p_holm: f64,
    /// How many arrangements were looked at.
    pub arrangements: u32,
    /// All there are; otherwise so many drawn by chance from the seed.
    pub exact: bool,
}

/// The three things a difference must exceed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Gates {
    /// The length of the frames.
    pub frame: Gate,
    /// The coach's own marking.
    pub operator: Gate,
    /// The variation from stroke to stroke.
    pub strokes: Gate,
}

/// One of them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Gate {
    /// `None`: not known.
    pub passed: Option<bool>,
    /// What the difference must exceed, in the measure's unit; `None` where it is not known.
    pub threshold: Option<f64>,
    /// Why, for the coach.
    pub reason: String,
}

/// What may be said of a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// More than everything known explains.
    Changed,
    /// No more than the frames explain.
    WithinFrameError,
    /// No more than the coach's own marking explains.
    WithinOperatorError,
    /// No more than the strokes vary.
    WithinStrokeVariation,
    /// Nothing can be said.
    NotComparable,
}
