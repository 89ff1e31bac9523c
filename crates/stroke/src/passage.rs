//! What `stroke` is given: one clip's marks, its clock, and the swimmer's speed where it is known.

use time::Clock;

use crate::{Mark, Speed};

/// One clip's worth of marks, in any order.
#[derive(Clone, Copy, Debug)]
pub struct Passage<'a> {
    /// The clip's frame times and scale.
    pub clock: &'a Clock,
    /// The coach's marks on that clip.
    pub marks: &'a [Mark],
    /// How fast the swimmer went; `None` where nobody said.
    pub speed: Option<Speed>,
}
