//! Integer time on a clip's own clock.
//!
//! Every crate that speaks of time speaks of it in these few types, so that a frame's time is the same
//! integer in the frame table, in a mark, in the session file and in the arithmetic. Seconds appear only
//! when a result is shown.
//!
//! Not for: wall-clock time, dates, or anything that reads a clock.
//!
//! ```
//! use wetframe_time::{Clock, FrameTimes, Ticks, Timescale};
//!
//! // Four frames of a 30 fps clip whose clock counts 600 ticks a second; the third is 10 ticks late.
//! let frame_times = FrameTimes::from_starts(vec![Ticks(0), Ticks(20), Ticks(50), Ticks(60)], 20)?;
//! let clock = Clock::new(Timescale::new(600)?, frame_times);
//! assert_eq!(clock.frame_times().frame_at_or_before(Ticks(49)), Some(1));
//! assert_eq!(clock.frame_times().spacing(1), Some(30));
//! assert_eq!(clock.seconds_between(Ticks(0), Ticks(60)), 0.1);
//!
//! // Filmed at 240 frames/s and stretched to 30: an eighth of the time really passed.
//! let slowed = clock.filmed_at(240.0)?;
//! assert!((slowed.seconds_between(Ticks(0), Ticks(60)) - 0.0125).abs() < 1e-12);
//! # Ok::<(), wetframe_time::TimeError>(())
//! ```

mod clock;
mod fine_time;
mod frame_times;
mod ticks;

pub use clock::Clock;
pub use fine_time::FineTime;
pub use frame_times::FrameTimes;
pub use ticks::{Ticks, TimeError, Timescale};
