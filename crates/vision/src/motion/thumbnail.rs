//! A picture in 32 × 18 mean brightnesses, taken from a few of its rows.
//!
//! Movement changes some of them, another scene all of them, and a change of light all of them alike.

use crate::kernels::{Fastest, Kernels};
use crate::luma::{LARGEST_SIDE, Luma};

const ACROSS: usize = 32;
const DOWN: usize = 18;
/// Rows that stand for each row of cells.
const ROWS_A_CELL: usize = 3;

#[derive(Clone, Debug, PartialEq)]
pub(super) struct Thumbnail {
    /// Mean brightness of each cell, grey levels.
    cells: Vec<f64>,
}

impl Thumbnail {
    pub(super) fn of(picture: &Luma<'_>) -> Self {
        static BLACK: [u8; LARGEST_SIDE] = [0; LARGEST_SIDE];
        let (width, height) = picture.size();
        let (across, down) = (ACROSS.min(width), DOWN.min(height));
        let edge = |cell: usize, cells: usize, size: usize| cell * size / cells;
        let mut cells = Vec::with_capacity(across * down);
        for cell_y in 0..down {
            let (top, end) = (edge(cell_y, down, height), edge(cell_y + 1, down, height));
            let rows = ROWS_A_CELL.min(end - top);
            for cell_x in 0..across {
                let (left, right) = (edge(cell_x, across, width), edge(cell_x + 1, across, width));
                let sum: u64 = (0..rows)
                    .map(|row| &picture.row(top + edge(2 * row + 1, 2 * rows, end - top))[left..right])
                    .map(|pixels| Fastest::absolute_difference(pixels, &BLACK[..pixels.len()]))
                    .sum();
                #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
                cells.push(sum as f64 / (rows * (right - left)) as f64);
            }
        }
        Self { cells }
    }

    /// Grey levels.
    pub(super) fn mean(&self) -> f64 {
        self.cells.iter().sum::<f64>() / self.cells.len() as f64
    }

    /// Standard deviation of the cells, grey levels.
    pub(super) fn contrast(&self) -> f64 {
        let mean = self.mean();
        let squares: f64 = self.cells.iter().map(|cell| (cell - mean) * (cell - mean)).sum();
        (squares / self.cells.len() as f64).sqrt()
    }

    /// Correlation with another picture's cells, −1 to 1; `None` where one of them has no contrast.
    pub(super) fn likeness(&self, other: &Self) -> Option<f64> {
        let (mean, other_mean) = (self.mean(), other.mean());
        let covered: f64 = self
            .cells
            .iter()
            .zip(&other.cells)
            .map(|(cell, other)| (cell - mean) * (other - other_mean))
            .sum();
        let spread = self.contrast() * other.contrast() * self.cells.len() as f64;
        (self.contrast() > 0.5 && other.contrast() > 0.5).then(|| covered / spread)
    }
}
