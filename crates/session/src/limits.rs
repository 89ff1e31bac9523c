//! The most of everything that a session may hold.
//!
//! Far above what a coach needs; they keep a broken or hostile file from taking the browser's memory, and a
//! slip of the hand (130 for 1.30) from becoming a measure.

/// Largest session file that is read, bytes (64 MiB). Larger ones are refused before they are parsed.
pub const MOST_FILE_BYTES: usize = 64 << 20;
/// In files above this size only the first wrong field is named (4 MiB): naming all takes many times the
/// file's size in memory.
pub const MOST_BYTES_TO_DIAGNOSE: usize = 4 << 20;
/// Clips in a session.
pub const MOST_CLIPS: usize = 500;
/// Marks in a session.
pub const MOST_MARKS: usize = 100_000;
/// Second markings in a session. All their questions together are at most [`MOST_MARKS`].
pub const MOST_REMARKINGS: usize = 500;
/// Frames in all clips of a session together: 19 hours at 240 frames/s.
pub const MOST_FRAMES: usize = 1 << 24;
/// Comparisons in a session.
pub const MOST_COMPARISONS: usize = 500;
/// Stretches of clips in a set of cycles.
pub const MOST_PARTS: usize = 200;
/// Commands in a group.
pub const MOST_COMMANDS_IN_GROUP: usize = 10_000;
/// Characters of a label.
pub const MOST_LABEL_CHARACTERS: usize = 200;
/// Characters of a file's name, of a codec string or a fingerprint.
pub const MOST_NAME_CHARACTERS: usize = 500;
/// Characters of notes, and of the words on consent.
pub const MOST_NOTES_CHARACTERS: usize = 20_000;
/// Keys that differ from the page's own.
pub const MOST_KEYS: usize = 200;
/// Largest integer that every JSON reader keeps exactly: 2^53 − 1 (RFC 7493, section 2.2).
pub const MOST_EXACT_INTEGER: i64 = (1 << 53) - 1;

/// A range `(above, at most)` for a number, and its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The number must be above this, or equal to it where `includes_least`.
    pub least: f64,
    /// Whether `least` itself is possible.
    pub includes_least: bool,
    /// The number must not be above this.
    pub most: f64,
    /// The unit, as shown.
    pub unit: &'static str,
}

impl Range {
    const fn above_zero(most: f64, unit: &'static str) -> Self {
        Self {
            least: 0.0,
            includes_least: false,
            most,
            unit,
        }
    }

    const fn from_zero(most: f64, unit: &'static str) -> Self {
        Self {
            least: 0.0,
            includes_least: true,
            most,
            unit,
        }
    }

    /// Whether `value` is a number inside the range.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        let above = value > self.least || (self.includes_least && value >= self.least);
        above && value <= self.most
    }
}

/// A filmed or captured rate: high-speed cameras stay below.
pub const RATE_FPS: Range = Range::above_zero(100_000.0, "frames/s");
/// A speed through the water: four times that of the fastest swimmers.
pub const SPEED_M_PER_S: Range = Range::above_zero(10.0, "m/s");
/// The uncertainty of a speed.
pub const SPEED_UNCERTAINTY_M_PER_S: Range = Range::from_zero(10.0, "m/s");
/// A pace: down to the speed above, up to an hour.
pub const PACE_S_PER_100_M: Range = Range {
    least: 10.0,
    includes_least: true,
    most: 3_600.0,
    unit: "s per 100 m",
};
/// The distance between two passes.
pub const PASS_DISTANCE_M: Range = Range::above_zero(1_000.0, "m");
/// The length of a pool.
pub const POOL_LENGTH_M: Range = Range::above_zero(1_000.0, "m");
/// The coach's own delay between seeing and tapping.
pub const TAP_REACTION_MS: Range = Range::from_zero(2_000.0, "ms");
