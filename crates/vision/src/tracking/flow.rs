//! One point's displacement between two pyramids, from the coarsest level to the picture itself.
//!
//! Lucas & Kanade (1981, Proc IJCAI 81:674-679) over a pyramid, as Bouguet (2001, "Pyramidal implementation
//! of the affine Lucas Kanade feature tracker", Intel) wrote it down: the start's slopes are computed once,
//! the window in the other picture moves until the least-squares step is small. Slopes are Scharr's 3-10-3,
//! taken between the pixels.

use crate::kernels::{Fastest, Field, Kernels, PATCH_ROWS, Patch, STRIDE, Share, Slopes, Template, WINDOW};
use crate::pyramid::Pyramid;
use picture::Point;

/// From a window's corner to its middle.
const HALF: f64 = ((WINDOW - 1) / 2) as f64;
/// 1/32 squared: the sums' unit in (grey level per pixel)².
const SQUARED_UNIT: f64 = 1.0 / 1024.0;
const PIXELS: f64 = (WINDOW * WINDOW) as f64;

/// Where to begin and when a level is done.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
    pub levels: usize,
    pub iterations: u32,
    pub step_px: f64,
    pub least_texture: f64,
}

/// Memory that is used for every point again.
#[derive(Debug)]
pub(super) struct Workspace {
    patch: Patch,
    field: Field,
    template: Template,
}

impl Workspace {
    pub(super) const fn new() -> Self {
        Self {
            patch: [[0; STRIDE]; PATCH_ROWS],
            field: [[0; STRIDE]; PATCH_ROWS - 1],
            template: Template::new(),
        }
    }
}

/// Where a point went.
#[derive(Clone, Copy, Debug)]
pub(super) struct Flow {
    pub point: Point,
    pub end: End,
    /// Smaller eigenvalue of the slopes' sums, grey level² per pixel².
    pub least_slope: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    Found,
    LeftPicture,
    TooLittleTexture,
}

/// How alike the windows of start and end are.
#[derive(Clone, Copy, Debug)]
pub(super) struct Likeness {
    /// −1 to 1; 0 where a window has no contrast.
    pub correlation: f64,
    /// Root mean square difference that two unsmoothed windows would have, grey levels.
    pub difference: f64,
}

/// A place as whole pixels and shares of one.
#[derive(Clone, Copy, Debug)]
struct Corner {
    x: i64,
    y: i64,
    across: Share,
    down: Share,
}

impl Corner {
    /// The window's corner around `middle`.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "places lie within a picture's size; a share is below 2^15"
    )]
    fn around(middle: Point) -> Self {
        let split = |place: f64| {
            let parts = ((place - HALF) * 32_768.0 + 0.5).floor() as i64;
            (parts >> 15, (parts & 0x7fff) as Share)
        };
        let ((x, across), (y, down)) = (split(middle.x), split(middle.y));
        Self { x, y, across, down }
    }

    /// What is left of independent pixels' variance after interpolation, 1/4 to 1.
    fn variance_left(&self) -> f64 {
        let left = |share: Share| {
            let share = f64::from(share) / 32_768.0;
            share * share + (1.0 - share) * (1.0 - share)
        };
        left(self.across) * left(self.down)
    }

    /// Whether the window has left a picture of that size wholly.
    fn is_outside(&self, (width, height): (usize, usize)) -> bool {
        let window = WINDOW as i64;
        self.x < -window || self.y < -window || self.x >= width as i64 || self.y >= height as i64
    }
}

/// Follows `start` of `from` to `to`, beginning at `guess`.
pub(super) fn follow(
    from: &mut Pyramid<'_>,
    to: &mut Pyramid<'_>,
    start: Point,
    guess: Point,
    limits: Limits,
    work: &mut Workspace,
) -> Flow {
    let levels = from.levels().min(to.levels()).min(limits.levels);
    let mut flow = Flow {
        point: guess,
        end: End::Found,
        least_slope: 0.0,
    };
    for level in (0..levels).rev() {
        let scale = f64::from(1_u32 << level);
        let at_level = |point: Point| Point::new(point.x / scale, point.y / scale);
        let start = Corner::around(at_level(start));
        if start.is_outside(from.size(level)) {
            flow.end = End::LeftPicture;
            return flow;
        }
        from.patch(level, start.x - 1, start.y - 1, &mut work.patch);
        Fastest::between(&work.patch, start.across, start.down, &mut work.field);
        let slopes = Fastest::slopes(&work.field, &mut work.template);
        let Some(inverse) = Inverse::of(slopes, limits.least_texture) else {
            flow.end = End::TooLittleTexture;
            continue;
        };
        flow.end = End::Found;
        flow.least_slope = inverse.least_slope;
        let mut point = at_level(flow.point);
        if !settle(to, level, &mut point, &inverse, limits, work) {
            flow.end = End::LeftPicture;
            if level == 0 {
                return flow;
            }
            // A coarse level that strays must not take the finer ones along.
            continue;
        }
        flow.point = Point::new(point.x * scale, point.y * scale);
    }
    flow
}

/// Moves `point` at one level until it rests; false where its window leaves the picture.
fn settle(
    to: &mut Pyramid<'_>,
    level: usize,
    point: &mut Point,
    inverse: &Inverse,
    limits: Limits,
    work: &mut Workspace,
) -> bool {
    let size = to.size(level);
    let mut fetched = None;
    let mut before = (0.0, 0.0);
    for iteration in 0..limits.iterations {
        let corner = Corner::around(*point);
        if corner.is_outside(size) {
            return false;
        }
        if fetched != Some((corner.x, corner.y)) {
            to.patch(level, corner.x, corner.y, &mut work.patch);
            fetched = Some((corner.x, corner.y));
        }
        let mismatch = Fastest::mismatch(&work.patch, corner.across, corner.down, &work.template);
        let (x_px, y_px) = inverse.step(mismatch);
        point.x += x_px;
        point.y += y_px;
        if x_px * x_px + y_px * y_px <= limits.step_px * limits.step_px {
            break;
        }
        // Two steps that undo each other would go on for ever: the truth lies between.
        if iteration > 0
            && (x_px + before.0).abs() < limits.step_px
            && (y_px + before.1).abs() < limits.step_px
        {
            point.x -= x_px / 2.0;
            point.y -= y_px / 2.0;
            break;
        }
        before = (x_px, y_px);
    }
    !Corner::around(*point).is_outside(size)
}

/// How alike the windows around `start` in `from` and `end` in `to` are.
pub(super) fn likeness(
    from: &mut Pyramid<'_>,
    to: &mut Pyramid<'_>,
    start: Point,
    end: Point,
    work: &mut Workspace,
) -> Likeness {
    let corners = (Corner::around(start), Corner::around(end));
    from.patch(0, corners.0.x - 1, corners.0.y - 1, &mut work.patch);
    Fastest::between(&work.patch, corners.0.across, corners.0.down, &mut work.field);
    Fastest::slopes(&work.field, &mut work.template);
    to.patch(0, corners.1.x, corners.1.y, &mut work.patch);
    Fastest::between(&work.patch, corners.1.across, corners.1.down, &mut work.field);
    let sums = Fastest::agreement(&work.field, &work.template);
    let [template, found, template_squared, found_squared, product] = [
        sums.template,
        sums.found,
        sums.template_squared,
        sums.found_squared,
        sums.product,
    ]
    .map(real);
    let spread_template = PIXELS * template_squared - template * template;
    let spread_found = PIXELS * found_squared - found * found;
    let spread = spread_template.max(0.0).sqrt() * spread_found.max(0.0).sqrt();
    let covered = PIXELS * product - template * found;
    let squares = template_squared + found_squared - 2.0 * product;
    Likeness {
        correlation: if spread > 0.0 { covered / spread } else { 0.0 },
        // Interpolation evens the noise out that a window's fit still feels: its slopes are as smooth.
        difference: {
            let left = (corners.0.variance_left() + corners.1.variance_left()) / 2.0;
            (squares.max(0.0) * SQUARED_UNIT / PIXELS / left).sqrt()
        },
    }
}

#[expect(clippy::cast_precision_loss, reason = "sums over a window are below 2^53")]
fn real(sum: i64) -> f64 {
    sum as f64
}

/// What turns a mismatch into a step.
#[derive(Clone, Copy, Debug)]
struct Inverse {
    xx: f64,
    xy: f64,
    yy: f64,
    least_slope: f64,
}

impl Inverse {
    /// `None` where the weaker direction has less than `least_texture` of mean squared slope.
    fn of(slopes: Slopes, least_texture: f64) -> Option<Self> {
        let [xx, xy, yy] = [slopes.xx, slopes.xy, slopes.yy].map(real);
        let apart = ((xx - yy) * (xx - yy) + 4.0 * xy * xy).sqrt();
        let least_slope = (xx + yy - apart) / 2.0 * SQUARED_UNIT;
        let determinant = xx * yy - xy * xy;
        let usable = least_slope >= least_texture * PIXELS && determinant > 0.0;
        usable.then(|| Self {
            xx: yy / determinant,
            xy: -xy / determinant,
            yy: xx / determinant,
            least_slope,
        })
    }

    fn step(&self, mismatch: (i64, i64)) -> (f64, f64) {
        let (x, y) = (real(mismatch.0), real(mismatch.1));
        (-(self.xx * x + self.xy * y), -(self.xy * x + self.yy * y))
    }
}
