//! Pixels and paths as they are written. Everything that is drawn on the page is in hundred-thousandths of a CSS
//! pixel, as whole numbers, until then.

use crate::draw::list::Point;
use std::fmt::Write as _;

/// One CSS pixel.
pub const PX: i64 = 100_000;
/// A number of pixels with two decimals at the most.
pub fn px(nm: i64) -> String {
    let hundredths = (nm + PX / 200 * nm.signum()) / (PX / 100);
    let (whole, rest) = (hundredths / 100, (hundredths % 100).abs());
    let sign = if hundredths < 0 && whole == 0 {
        "-"
    } else {
        ""
    };
    match rest {
        0 => format!("{sign}{whole}"),
        rest => format!("{sign}{whole}.{rest:02}")
            .trim_end_matches('0')
            .to_owned(),
    }
}

pub fn path(points: &[Point], closed: bool) -> String {
    let mut d = String::new();
    for (n, point) in points.iter().enumerate() {
        let letter = if n == 0 { 'M' } else { 'L' };
        // Writing to a string does not fail.
        let _ = write!(d, "{letter}{} {}", px(point.x.nm()), px(point.y.nm()));
    }
    if closed {
        d.push('Z');
    }
    d
}

/// A circle as a path.
pub fn round(centre: Point, radius: i64) -> String {
    let (x, y) = (px(centre.x.nm() - radius), px(centre.y.nm()));
    let (r, far) = (px(radius), px(2 * radius));
    format!("M{x} {y}a{r} {r} 0 1 0 {far} 0a{r} {r} 0 1 0 -{far} 0Z")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pixels_are_written_shortly() {
        for (nm, text) in [
            (0, "0"),
            (100_000, "1"),
            (150_000, "1.5"),
            (133_333, "1.33"),
            (-50_000, "-0.5"),
            (-1_250_000, "-12.5"),
        ] {
            assert_eq!(px(nm), text);
        }
    }
}
