//! 97.5 % quantiles of Student's t, for 95 % intervals from few blocks.

/// For 1 to 12 degrees of freedom; SciPy 1.17.1, `scipy.stats.t.ppf(0.975, n)`.
const QUANTILES: [f64; 12] = [
    12.706_204_736_4,
    4.302_652_729_9,
    3.182_446_305_3,
    2.776_445_105_2,
    2.570_581_835_6,
    2.446_911_851_1,
    2.364_624_251_6,
    2.306_004_135_2,
    2.262_157_162_8,
    2.228_138_852_0,
    2.200_985_160_1,
    2.178_812_829_7,
];

/// The quantile for as many degrees of freedom, 12 at most.
pub(super) fn t_975(degrees_of_freedom: usize) -> f64 {
    let index = degrees_of_freedom.clamp(1, QUANTILES.len()) - 1;
    QUANTILES[index]
}
