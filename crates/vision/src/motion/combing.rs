//! Interlaced footage, told by its combs: where something moves, neighbouring rows come from two times.
//!
//! The measure compares, where the picture changes from frame to frame, a row with the next one and with the
//! one after: in a whole picture the nearer one is more alike, in a combed one the farther. Common practice
//! among deinterlacers, no single source.

use crate::kernels::{Fastest, Kernels};
use crate::luma::Luma;

/// Pixels of a piece of a row that is judged at once.
const PIECE: usize = 64;
/// Rows from one that is looked at to the next; odd, so that both fields are met.
const ROW_STEP: usize = 9;
/// Grey levels by which a moving piece changes from frame to frame.
const MOVES: u64 = 6;
/// Pieces below which a ratio would say nothing.
const LEAST_PIECES: usize = 12;

/// Difference to the next row over the difference to the one after; `None` where too little moves.
pub(super) fn combing(picture: &Luma<'_>, before: &Luma<'_>) -> Option<f64> {
    let (mut to_next, mut to_after, mut pieces) = (0, 0, 0_usize);
    for y in (0..picture.height().saturating_sub(2)).step_by(ROW_STEP) {
        let rows = [
            picture.row(y),
            picture.row(y + 1),
            picture.row(y + 2),
            before.row(y),
        ];
        let [row, next, after, earlier] = rows.map(|row| row.as_chunks::<PIECE>().0);
        for (((row, next), after), earlier) in row.iter().zip(next).zip(after).zip(earlier) {
            if Fastest::absolute_difference(row, earlier) < MOVES * PIECE as u64 {
                continue;
            }
            to_next += Fastest::absolute_difference(row, next);
            to_after += Fastest::absolute_difference(row, after);
            pieces += 1;
        }
    }
    #[expect(clippy::cast_precision_loss, reason = "sums over a picture are below 2^53")]
    let ratio = to_next as f64 / to_after as f64;
    (pieces >= LEAST_PIECES && to_after > 0).then_some(ratio)
}
