//! How a number is written in a picture: with a true minus, and with no more decimals than its uncertainty leaves.
//!
//! The page writes its own numbers by the same rule (`www/marks/figures.js`, `www/numbers/format.js`).

/// A value with so many decimals; a value that rounds to nothing has no sign.
#[must_use]
pub fn decimal(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let unsigned = text.trim_start_matches('-');
    if text.starts_with('-')
        && unsigned
            .chars()
            .any(|digit| digit.is_ascii_digit() && digit != '0')
    {
        format!("\u{2212}{unsigned}")
    } else {
        unsigned.to_owned()
    }
}

/// The same with a plus before what is above nothing: a difference.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let text = decimal(value, decimals);
    if value > 0.0 && text.chars().any(|digit| digit.is_ascii_digit() && digit != '0') {
        format!("+{text}")
    } else {
        text
    }
}

/// Decimals so that the uncertainty keeps one digit, or two where it starts with 1 or 2; at most three.
#[must_use]
pub fn decimals_for(uncertainty: f64) -> usize {
    if !(uncertainty > 0.0 && uncertainty.is_finite()) {
        return 2;
    }
    let power = libm::floor(libm::log10(uncertainty));
    let leading = uncertainty / libm::pow(10.0, power);
    let decimals = (-power + if leading < 3.0 { 1.0 } else { 0.0 }).clamp(0.0, 3.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and 3"
    )]
    let decimals = decimals as usize;
    decimals
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_are_true_and_stand_only_before_something() {
        assert_eq!(
            [
                decimal(-12.34, 1),
                decimal(-0.04, 1),
                signed(3.0, 0),
                signed(0.001, 2),
                signed(-3.0, 0)
            ],
            ["\u{2212}12.3", "0.0", "+3", "0.00", "\u{2212}3"]
        );
    }

    #[test]
    fn decimals_follow_the_uncertainty() {
        assert_eq!([9.6, 1.4, 0.45, 0.23, 0.0].map(decimals_for), [0, 1, 1, 2, 2]);
    }
}
