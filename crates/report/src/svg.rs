//! Writing SVG as text: escaping, numbers, and the paths of rings and wedges.
//!
//! Not for: layout or colour. Angles are turns (1 = a full circle), clockwise from twelve o'clock.

use std::f64::consts::TAU;

/// A point of a drawing, in its own units, x to the right and y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

impl Point {
    /// The point `radius` away from here in the direction of `turn` (0 = up, 0.25 = right).
    #[must_use]
    pub fn toward(self, turn: f64, radius: f64) -> Self {
        let angle = turn * TAU;
        Self {
            x: self.x + radius * libm::sin(angle),
            y: self.y - radius * libm::cos(angle),
        }
    }
}

/// How a picture begins: its tag, and the title and description that a screen reader tells.
pub(crate) struct Opening<'a> {
    /// What style sheets call it.
    pub(crate) class: &'a str,
    /// Width and height, in the drawing's own units.
    pub(crate) size: [f64; 2],
    /// In the drawing's own units.
    pub(crate) font_size: u32,
    /// What the picture's ids begin with, escaped.
    pub(crate) prefix: &'a str,
    /// Not escaped yet.
    pub(crate) title: &'a str,
    /// Not escaped yet.
    pub(crate) description: &'a str,
}

impl Opening<'_> {
    /// The text up to and with the description.
    pub(crate) fn written(&self) -> String {
        let Self {
            class,
            size: [width, height],
            font_size,
            prefix,
            title,
            description,
        } = self;
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"{class}\" viewBox=\"0 0 {} {}\" role=\"img\" \
             aria-labelledby=\"{prefix}-title\" aria-describedby=\"{prefix}-desc\" font-size=\"{font_size}\">\n\
             <title id=\"{prefix}-title\">{}</title>\n<desc id=\"{prefix}-desc\">{}</desc>\n",
            number(*width),
            number(*height),
            escaped(title),
            escaped(description),
        )
    }
}

/// Text made safe between tags and inside quoted attributes; characters that XML cannot hold are dropped.
#[must_use]
pub fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            '\u{fffe}' | '\u{ffff}' => {}
            other if other.is_control() => {}
            other => safe.push(other),
        }
    }
    safe
}

/// A length or coordinate with two decimals, without a trailing zero or a minus before nothing.
#[must_use]
pub fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// The `d` of a band of a ring, from turn `from` to turn `to` (`to` later, at most one turn), between two
/// radii. An inner radius of 0 gives a wedge that reaches the centre.
#[must_use]
pub fn band(centre: Point, inner: f64, outer: f64, from: f64, to: f64) -> String {
    // An arc whose ends meet is no arc to SVG: a full circle is drawn as two halves.
    if to - from >= 1.0 - 1e-9 {
        let half = from + 0.5;
        return format!(
            "{} {}",
            band(centre, inner, outer, from, half),
            band(centre, inner, outer, half, from + 1.0 - 1e-6)
        );
    }
    let large = u8::from(to - from > 0.5);
    let [outer_from, outer_to] = [from, to].map(|turn| centre.toward(turn, outer));
    let mut d = format!(
        "M{} {}A{r} {r} 0 {large} 1 {} {}",
        number(outer_from.x),
        number(outer_from.y),
        number(outer_to.x),
        number(outer_to.y),
        r = number(outer),
    );
    if inner <= 0.0 {
        d.push_str(&format!("L{} {}Z", number(centre.x), number(centre.y)));
    } else {
        let [inner_from, inner_to] = [from, to].map(|turn| centre.toward(turn, inner));
        d.push_str(&format!(
            "L{} {}A{r} {r} 0 {large} 0 {} {}Z",
            number(inner_to.x),
            number(inner_to.y),
            number(inner_from.x),
            number(inner_from.y),
            r = number(inner),
        ));
    }
    d
}

/// The `d` of a straight line along one direction, between two radii.
#[must_use]
pub fn spoke(centre: Point, inner: f64, outer: f64, turn: f64) -> String {
    let [near, far] = [inner, outer].map(|radius| centre.toward(turn, radius));
    format!(
        "M{} {}L{} {}",
        number(near.x),
        number(near.y),
        number(far.x),
        number(far.y)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_turn_clockwise_from_twelve_points_to_three() {
        let point = Point { x: 10.0, y: 10.0 }.toward(0.25, 5.0);
        assert!((point.x - 15.0).abs() < 1e-12 && (point.y - 10.0).abs() < 1e-12);
    }

    #[test]
    fn text_cannot_leave_its_place() {
        assert_eq!(
            escaped("<script>\"A & 'B'\u{0}\u{7}\n"),
            "&lt;script&gt;&quot;A &amp; &#39;B&#39; "
        );
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(
            [
                number(0.0),
                number(-0.001),
                number(12.5),
                number(100.0),
                number(1.239)
            ],
            ["0", "0", "12.5", "100", "1.24"]
        );
    }
}
