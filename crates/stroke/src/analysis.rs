//! The whole of it: marks in, cycles, drive, flags and measures out.

use serde::{Deserialize, Serialize};

use crate::arm::Arm;
use crate::arm_measures::{add_arm_measures, add_length_measures, arm_cycles};
use crate::breath::{Breath, BreathMoments, breaths_of, written};
use crate::breath_measures::add_breath_measures;
use crate::coordination_measures::{add_coordination_measures, leading_arm};
use crate::cycle::{ArmTimeline, timeline_of};
use crate::drive::{DriveStretch, drive_of};
use crate::filming::interval_error_s;
use crate::flag::{Flag, Flags, doubled_or_sideless};
use crate::hand_over::hand_overs;
use crate::leg_measures::add_leg_measures;
use crate::legs::{Downbeat, KickOut, downbeats_of, kick_outs_of, written_downbeats};
use crate::measure::Measure;
use crate::ordered::{Marks, SIDES};
use crate::strokes::Alternation;
use crate::swimming_speed::{add_speed, speed_of};
use crate::table::{KeptRow, Table};
use crate::{Passage, Side};

/// Everything that follows from one clip's marks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Analysis {
    /// Frames a true second at the clip's median spacing.
    pub frame_rate_fps: f64,
    /// Standard uncertainty of the time between two marks at that spacing, ms: 1000/(fps·√6).
    pub frame_error_ms: f64,
    /// Left, then right.
    pub arms: [ArmTimeline; 2],
    /// The arm whose first complete cycle starts first; its cycles number the measures of both arms.
    pub leading_arm: Option<Side>,
    /// Which arms propel, wherever both are known, in time order.
    pub drive: Vec<DriveStretch>,
    /// In time order.
    pub breaths: Vec<Breath>,
    /// In time order.
    pub kick_outs: Vec<KickOut>,
    /// In time order.
    pub downbeats: Vec<Downbeat>,
    /// Marks that cannot be right, in time order.
    pub flags: Vec<Flag>,
    /// One kind after another; of each, first its cycles, then its means.
    pub measures: Vec<Measure>,
}

/// Turns marks into measures. The order of the marks does not matter; O(n log n) in their number.
#[must_use]
pub fn analyse(passage: &Passage) -> Analysis {
    detailed(passage, false).analysis
}

/// An analysis with the rows that its means were taken over, so that other means can be taken.
pub(crate) struct Detail {
    pub(crate) analysis: Analysis,
    pub(crate) rows: Vec<KeptRow>,
    /// Variance of each input of the rows' estimates, s² (of the stated speed m²/s²).
    pub(crate) variances_s2: Vec<f64>,
}

/// Turns marks into measures and keeps the rows.
pub(crate) fn analyse_in_detail(passage: &Passage) -> Detail {
    detailed(passage, true)
}

fn detailed(passage: &Passage, keep_rows: bool) -> Detail {
    let mut marks = Marks::of(passage);
    let speed = speed_of(passage, &mut marks);
    let marks = marks;
    let mut flags = Flags::default();
    let left_out = doubled_or_sideless(&marks, &mut flags);
    let arms = SIDES.map(|side| Arm::of(side, &marks, &left_out, &mut flags));
    let breaths = breaths_of(&marks, &left_out, &mut flags);
    let kick_outs = kick_outs_of(&marks, &left_out, &mut flags);
    let downbeats = downbeats_of(&marks, &left_out);
    let (flags, flags_by_mark) = flags.finish(&marks);

    let moments = BreathMoments::of(&breaths, &marks);
    let alternation = Alternation::of(&arms, &marks);
    let from_left = hand_overs(&arms[0], &arms[1], &marks, &alternation, &moments);
    let from_right = hand_overs(&arms[1], &arms[0], &marks, &alternation, &moments);
    let cycles = arm_cycles(&arms, &marks, &moments);

    // 15 kinds of each arm's cycle, 5 of each hand-over and of each pair of them, and the means.
    let rows = 20 * cycles.len() + 8 * (from_left.len() + from_right.len()) + 300;
    let mut table = Table::new(&marks, &flags_by_mark, moments.any(), rows);
    if keep_rows {
        table = table.keeping_rows();
    }
    let mut comparisons = add_arm_measures(&mut table, &arms, &cycles, &marks);
    comparisons.extend(add_coordination_measures(
        &mut table,
        &arms,
        &from_left,
        &from_right,
        &marks,
    ));
    table.append(comparisons);
    add_speed(&mut table, &speed);
    add_length_measures(&mut table, &arms, &cycles, &speed);
    add_breath_measures(&mut table, &breaths, &cycles, &alternation, &marks);
    add_leg_measures(
        &mut table,
        &kick_outs,
        &downbeats,
        &cycles,
        &alternation,
        &moments,
        &marks,
    );

    let frame_rate_fps = passage.clock.frame_rate_fps();
    let (measures, kept) = table.finish();
    let analysis = Analysis {
        frame_rate_fps,
        frame_error_ms: 1e3 * interval_error_s(frame_rate_fps),
        arms: [
            timeline_of(&arms[0], &marks, &moments),
            timeline_of(&arms[1], &marks, &moments),
        ],
        leading_arm: leading_arm(&arms),
        drive: drive_of(&arms, &marks, &alternation, &moments),
        breaths: breaths.iter().map(|breath| written(breath, &marks)).collect(),
        kick_outs: kick_outs
            .iter()
            .map(|kick_out| kick_out.written(&marks, &alternation, &moments))
            .collect(),
        downbeats: written_downbeats(&downbeats, &marks),
        flags,
        measures,
    };
    Detail {
        analysis,
        rows: kept,
        variances_s2: marks.variances_s2,
    }
}
