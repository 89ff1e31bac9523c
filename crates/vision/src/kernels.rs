//! The inner loops, once for every machine and once for wasm's 128-bit vectors.
//!
//! Both are integer arithmetic in fixed point and give the same bits: `tests/twins.rs` holds them equal, and
//! so a track computed in a browser equals the one computed natively. [`Fastest`] is the one to take.
//!
//! Not for: anything that knows what it computes. Relaxed vector instructions, whose results differ from
//! machine to machine, are never used.

mod scalar;
#[cfg(target_arch = "wasm32")]
mod simd128;

pub use scalar::Scalar;
#[cfg(target_arch = "wasm32")]
pub use simd128::Simd128;

/// The fastest kernels of this machine.
#[cfg(target_arch = "wasm32")]
pub type Fastest = Simd128;
/// The fastest kernels of this machine: the compiler's own vectors do well on the scalar loops natively.
#[cfg(not(target_arch = "wasm32"))]
pub type Fastest = Scalar;

/// Side of the square that is followed, pixels.
pub const WINDOW: usize = 21;
/// Rows of pixels that a window's slopes between pixels need: one around it for the slopes, one for the
/// interpolation.
pub const PATCH_ROWS: usize = WINDOW + 3;
/// Columns that are computed: the window's, filled up to whole vectors.
pub const LANES: usize = 24;
/// Columns that are stored, so that a vector may begin two columns late.
pub const STRIDE: usize = 32;
/// Brightness in patches, fields and templates is in 1/32 of a grey level; slopes are in 1/32 of a grey level
/// per pixel. 255 grey levels are then 8,160: sums of two and differences fit 16 bits.
pub const UNIT: i16 = 32;
/// Side of the square that is looked for after a point was lost, pixels.
pub const SOUGHT: usize = 31;

/// Pixels around a window, in 1/32 of a grey level. Columns from 25 on do not count.
pub type Patch = [[i16; STRIDE]; PATCH_ROWS];
/// Brightness between the pixels of a patch, in 1/32 of a grey level. Columns from 23 on do not count.
pub type Field = [[i16; STRIDE]; PATCH_ROWS - 1];
/// One value for each pixel of a window; columns from 21 on do not count.
pub type Plane = [[i16; LANES]; WINDOW];

/// What is followed: a window's brightness and slopes. The slopes are zero from column 21 on, and so whatever
/// stands there never counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Template {
    /// Brightness, 1/32 grey level.
    pub level: Plane,
    /// Slope to the right, 1/32 grey level per pixel, by Scharr's 3-10-3 operator.
    pub across: Plane,
    /// Slope downward, likewise.
    pub down: Plane,
}

impl Template {
    /// All zero.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            level: [[0; LANES]; WINDOW],
            across: [[0; LANES]; WINDOW],
            down: [[0; LANES]; WINDOW],
        }
    }
}

impl Default for Template {
    fn default() -> Self {
        Self::new()
    }
}

/// Sums of products of slopes over a window, (1/32 grey level per pixel)².
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Slopes {
    /// across · across
    pub xx: i64,
    /// across · down
    pub xy: i64,
    /// down · down
    pub yy: i64,
}

/// Sums over two windows' brightness, 1/32 grey level and its square.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Agreement {
    /// Σ template
    pub template: i64,
    /// Σ found
    pub found: i64,
    /// Σ template²
    pub template_squared: i64,
    /// Σ found²
    pub found_squared: i64,
    /// Σ template · found
    pub product: i64,
}

/// A share of a pixel in 1/32,768, from 0 to 32,767.
pub type Share = i16;

/// The inner loops. Every implementation gives the same bits.
pub trait Kernels {
    /// Sum of |a − b| over two rows of equal length; what is beyond the shorter one does not count. Rows of up
    /// to 2²⁴ pixels.
    fn absolute_difference(a: &[u8], b: &[u8]) -> u64;

    /// Sixteen pixels of the next coarser level from five rows of this one, the first column of which lies two
    /// pixels left of the first wanted pixel's place: the binomial 1-4-6-4-1 both ways (Burt & Adelson 1983,
    /// IEEE Trans Commun 31:532-540, a = 3/8), as a tree of rounded means of two.
    fn halve(rows: [&[u8; 48]; 5]) -> [u8; 16];

    /// Pixels in 1/32 of a grey level.
    fn widen(row: &[u8; STRIDE]) -> [i16; STRIDE];

    /// Brightness at the patch's pixels moved by the two shares, by bilinear interpolation. Fills columns
    /// below 24 and leaves the others.
    fn between(patch: &Patch, across: Share, down: Share, field: &mut Field);

    /// The template whose window begins at the field's row 1, column 1.
    fn slopes(field: &Field, template: &mut Template) -> Slopes;

    /// Σ (found − template) · slope, across and down, for the window that begins at the patch's row 0, column
    /// 0 moved by the two shares; in (1/32)² grey level² per pixel.
    fn mismatch(patch: &Patch, across: Share, down: Share, template: &Template) -> (i64, i64);

    /// Sums over the template and the field's window that begins at row 0, column 0.
    fn agreement(field: &Field, template: &Template) -> Agreement;

    /// Σ sought · picture over 31 rows of the picture that begin every `stride` bytes, 32 columns each; rows
    /// that are not there count nothing. `sought` holds grey levels.
    fn product(sought: &[[i16; STRIDE]; SOUGHT], picture: &[u8], stride: usize) -> i64;
}
