//! When everything happens: the exact times of every event of an invented swimmer, before and after a cue.
//!
//! Times are inputs of the picture, not findings from it. They carry a natural spread (about 0.7 frames SD an
//! event at 60 fps) and a slow drift of the rate, so that the swimmer is no metronome.
//!
//! Shares of the cycle stand near published ones (14 national men at 75–100 % of maximum: 34.7 / 22.4 / 14.2 /
//! 28.4 %, Cortesi 2019, as quoted in the project's methods).

use crate::chance::Chance;

/// One stroke of one arm, s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArmStroke {
    /// Fingertip meets the surface from above.
    pub entry: f64,
    /// Hand starts to move backward past the body.
    pub catch: f64,
    /// Hand in the vertical plane of the shoulder.
    pub mid_pull: f64,
    /// Fingertip leaves the water.
    pub exit: f64,
}

/// One breath, always to the left (towards the camera), s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Breath {
    /// First bubbles.
    pub exhale_start: f64,
    /// The head starts to turn.
    pub face_turn: f64,
    /// The mouth comes out of the water.
    pub mouth_clear: f64,
    /// The mouth is back under.
    pub face_return: f64,
}

/// Legs parted beyond the kick's usual width, s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KickOut {
    /// Separation of the ankles rises above the usual.
    pub start: f64,
    /// Separation is back to the usual.
    pub end: f64,
    /// How wide the legs go: 1 is a full scissor.
    pub size: f64,
}

/// Everything that happens in one clip and a little before and after it.
#[derive(Clone, Debug)]
pub struct Schedule {
    /// Strokes of the left (near) arm in time order.
    pub left: Vec<ArmStroke>,
    /// Strokes of the right (far) arm in time order; `right[k]` enters half a cycle after `left[k]`.
    pub right: Vec<ArmStroke>,
    /// Breaths in time order.
    pub breaths: Vec<Breath>,
    /// Kick-outs in time order.
    pub kick_outs: Vec<KickOut>,
    /// Length of the clip, s.
    pub duration_s: f64,
}

/// How one arm divides its cycle, shares of 1.
#[derive(Clone, Copy, Debug)]
pub struct Shares {
    entry_and_catch: f64,
    pull: f64,
    push: f64,
}

/// What a way of swimming is made of.
#[derive(Clone, Debug)]
pub struct Style {
    seed: u64,
    cycle_s: f64,
    left: Shares,
    right: Shares,
    /// The right arm enters this share of a cycle after the left.
    offset: f64,
    /// On a breath the right arm waits this much longer before its catch, s.
    breath_wait_s: f64,
    exhale_before_clear_s: f64,
    turn_before_clear_s: f64,
    clear_after_exit_s: f64,
    return_before_entry_s: f64,
    /// Width of the kick-out on the k-th breath; 0 for none.
    kick_out_sizes: [f64; 6],
    kick_out_s: f64,
}

/// Events stray from the pattern by this much, s (SD): 0.7 frames at 60 fps.
const EVENT_SPREAD_S: f64 = 0.7 / 60.0;

impl Style {
    /// The swimmer before the cue: waits in front, most of all while breathing.
    #[must_use]
    pub fn before() -> Self {
        Self {
            seed: 11,
            cycle_s: 1.320,
            left: Shares {
                entry_and_catch: 0.372,
                pull: 0.220,
                push: 0.146,
            },
            right: Shares {
                entry_and_catch: 0.376,
                pull: 0.216,
                push: 0.142,
            },
            offset: 0.502,
            breath_wait_s: 0.085,
            exhale_before_clear_s: 0.72,
            turn_before_clear_s: 0.26,
            clear_after_exit_s: 0.035,
            return_before_entry_s: 0.015,
            kick_out_sizes: [1.0, 0.9, 1.05, 0.85, 1.0, 0.95],
            kick_out_s: 0.40,
        }
    }

    /// The same swimmer after the cue: the other arm starts sooner, the legs stay together.
    #[must_use]
    pub fn after() -> Self {
        Self {
            seed: 23,
            cycle_s: 1.275,
            left: Shares {
                entry_and_catch: 0.326,
                pull: 0.250,
                push: 0.168,
            },
            right: Shares {
                entry_and_catch: 0.328,
                pull: 0.248,
                push: 0.166,
            },
            offset: 0.500,
            breath_wait_s: 0.022,
            exhale_before_clear_s: 1.05,
            turn_before_clear_s: 0.24,
            clear_after_exit_s: 0.015,
            return_before_entry_s: 0.050,
            kick_out_sizes: [0.0, 0.0, 0.30, 0.0, 0.0, 0.0],
            kick_out_s: 0.26,
        }
    }
}

/// Cycles of the left arm, from the lead-in on, that end with a breath: every fourth stroke, whole breaths only.
const BREATHING_CYCLES: [usize; 5] = [2, 4, 6, 8, 10];
/// Cycles laid out before the clip starts, so that the first frame is already in full stroke.
const LEAD_IN_CYCLES: usize = 2;

impl Schedule {
    /// The events of `style` in a clip of `duration_s`.
    #[must_use]
    pub fn new(style: &Style, duration_s: f64) -> Self {
        let mut chance = Chance::new(style.seed);
        let mut left = Vec::new();
        let mut right = Vec::new();
        let mut breathing = Vec::new();
        // The left arm's first entry of the clip comes 0.12 s after its start.
        let mut entry = 0.12 - style.cycle_s * LEAD_IN_CYCLES as f64;
        let drift_phase = chance.unit();
        let mut cycle = 0;
        while entry < duration_s + 3.0 * style.cycle_s {
            let drift = 0.012 * libm::sin(std::f64::consts::TAU * (cycle as f64 / 9.0 + drift_phase));
            let length = style.cycle_s * (1.0 + drift);
            let breathes = BREATHING_CYCLES.contains(&cycle);
            let wait = if breathes { style.breath_wait_s } else { 0.0 };
            left.push(stroke(entry, length, style.left, 0.0, &mut chance));
            right.push(stroke(
                entry + style.offset * length,
                length,
                style.right,
                wait,
                &mut chance,
            ));
            breathing.push(breathes);
            entry += length;
            cycle += 1;
        }
        let (breaths, kick_outs) = breaths_and_kick_outs(style, &left, &breathing, &mut chance);
        Self {
            left,
            right,
            breaths,
            kick_outs,
            duration_s,
        }
    }
}

fn stroke(entry: f64, length: f64, shares: Shares, wait: f64, chance: &mut Chance) -> ArmStroke {
    let mut stray = || EVENT_SPREAD_S * chance.normal();
    let catch = entry + shares.entry_and_catch * length;
    let mid_pull = catch + shares.pull * length;
    let exit = mid_pull + shares.push * length;
    // A late catch is partly made up for by a faster pull, so that the arm's next entry keeps its place.
    ArmStroke {
        entry: entry + stray(),
        catch: catch + wait + stray(),
        mid_pull: mid_pull + 0.66 * wait + stray(),
        exit: exit + 0.38 * wait + stray(),
    }
}

fn breaths_and_kick_outs(
    style: &Style,
    left: &[ArmStroke],
    breathing: &[bool],
    chance: &mut Chance,
) -> (Vec<Breath>, Vec<KickOut>) {
    let mut breaths = Vec::new();
    let mut kick_outs = Vec::new();
    for (index, pair) in left.windows(2).enumerate() {
        if !breathing[index] {
            continue;
        }
        let mut stray = || EVENT_SPREAD_S * chance.normal();
        let mouth_clear = pair[0].exit + style.clear_after_exit_s + stray();
        let breath = Breath {
            exhale_start: mouth_clear - style.exhale_before_clear_s + 2.0 * stray(),
            face_turn: mouth_clear - style.turn_before_clear_s + stray(),
            mouth_clear,
            face_return: pair[1].entry - style.return_before_entry_s + stray(),
        };
        let size = style.kick_out_sizes[breaths.len() % style.kick_out_sizes.len()];
        if size > 0.0 {
            let start = mouth_clear + 0.01 + stray();
            kick_outs.push(KickOut {
                start,
                end: start + style.kick_out_s + stray(),
                size,
            });
        }
        breaths.push(breath);
    }
    (breaths, kick_outs)
}
