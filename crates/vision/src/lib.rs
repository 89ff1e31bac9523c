//! Pictures in, plain numbers out: point tracking, motion signal, period, clearer pictures.
//!
//! Works on 8-bit luma (and RGBA where colour matters) that somebody else decoded. Results are the same bits
//! natively and in wasm.
//!
//! Points are in pixels of the picture as it is stored, and the centre of its top left pixel is (0.0, 0.0): half
//! a pixel less than counted from the corner.
//!
//! Not for: decoding, drawing, or saying what a movement means.

pub mod clarity;
#[doc(hidden)]
pub mod kernels;
mod luma;
pub mod motion;
mod peak;
mod pyramid;
mod region;
pub mod rhythm;
pub mod tracking;

pub use luma::{LARGEST_SIDE, Luma, PictureError};
pub use picture::Point;
pub use pyramid::Pyramid;
pub use region::Region;
