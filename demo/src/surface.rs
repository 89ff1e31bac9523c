//! The water's surface as the camera sees it: its height along the picture plane.
//!
//! The camera's eye is at the still water's level, so the surface is seen edge-on and is one curve across
//! the picture; every point of the swimmer is compared with it where that point is drawn. That is what makes
//! "the hand crosses the surface" the same fact in the model and in the picture.

/// Waves carried by the flume's water, and the standing bow wave and trough that a swimmer's head makes.
#[derive(Clone, Debug)]
pub struct Surface {
    /// Water speed, m/s, towards +x (towards the feet).
    pub flow_m_per_s: f64,
    /// Where the crown of the head parts the water, m along the picture plane.
    pub crown_x_m: f64,
}

/// Length in m, height in m, own speed against the water in m/s, phase.
const WAVES: [(f64, f64, f64, f64); 6] = [
    (0.93, 0.0042, 0.6, 0.3),
    (0.61, 0.0034, 0.5, 2.1),
    (0.37, 0.0024, -0.4, 4.4),
    (0.23, 0.0015, 0.3, 1.2),
    (0.131, 0.0009, -0.25, 5.0),
    (0.074, 0.0005, 0.2, 0.9),
];

impl Surface {
    /// Height above the still level, m, at `x_m` on the picture plane at `time_s`.
    #[must_use]
    pub fn height_m(&self, x_m: f64, time_s: f64) -> f64 {
        let mut height = 0.0;
        for (length, tall, own, phase) in WAVES {
            let travelled = x_m - (self.flow_m_per_s * 0.8 + own) * time_s;
            height += tall * libm::sin(std::f64::consts::TAU * travelled / length + phase);
        }
        let behind = x_m - self.crown_x_m;
        let bow = |centre: f64, width: f64| {
            let u = (behind - centre) / width;
            libm::exp(-u * u)
        };
        height + 0.022 * bow(-0.05, 0.10) - 0.034 * bow(0.19, 0.14) + 0.012 * bow(0.52, 0.16)
            - 0.010 * bow(0.86, 0.18)
            + 0.008 * bow(1.30, 0.16)
    }
}
