//! What is lost of a photo in a place, how fine it is there, and which print to order.
//!
//! A photo and a place have the shapes `a` and `b`; with `r = min(a, b) / max(a, b)` the share that is
//! seen times the share of the place that is covered is `r`, however much of the photo is cut off.

use crate::length::Length;
use crate::supplies::Card;
use num_rational::Ratio;

/// An exact share, or a count of pixels an inch.
pub type Share = Ratio<i128>;

/// A photo that fills a place as well as its shape lets it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fit {
    /// The share of the photo that is seen if the place is filled: `r`.
    pub filled: Share,
    /// The photo is broader than the place: its left and right are cut off, else top and bottom.
    pub broad: bool,
}

fn whole(n: i64) -> Share {
    Share::from_integer(i128::from(n))
}

fn length(of: Length) -> Share {
    whole(of.nm())
}

/// How a photo of these sides fills a place of this width and height; all are above zero.
pub fn fit((across, up): (i64, i64), (width, height): (Length, Length)) -> Fit {
    let photo = whole(across) / whole(up);
    let place = length(width) / length(height);
    let broad = photo > place;
    let filled = if broad { place / photo } else { photo / place };
    Fit { filled, broad }
}

/// The share of a photo that is seen, if at most `most_cut` of it may be cut off.
pub fn seen(fit: Fit, most_cut: Share) -> Share {
    fit.filled.max(Share::from_integer(1) - most_cut)
}

/// The size at which a photo is printed so that this share of it is seen in its place, in
/// nanometres.
pub fn printed(
    (across, up): (i64, i64),
    (width, height): (Length, Length),
    fit: Fit,
    seen: Share,
) -> (Share, Share) {
    let shape = whole(across) / whole(up);
    match fit.broad {
        true => (length(width) / seen, length(width) / seen / shape),
        false => (length(height) / seen * shape, length(height) / seen),
    }
}

/// Pixels an inch of a photo so many pixels wide, printed so wide.
pub fn pixels_an_inch(across: i64, printed: Share) -> Share {
    whole(across) * length(Length::INCH) / printed
}

/// A print to order, and how it is trimmed to its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Print {
    /// Place in [`crate::supplies::Supplies::prints`].
    pub print: usize,
    /// It lies the other way round than the supplies give its size.
    pub turned: bool,
    /// The whole photo is on the print, with white edges if the shapes differ; else it fills the
    /// print.
    pub whole: bool,
    /// Of the photo's width and height, in its place; and of the place.
    pub seen_wide: Share,
    pub seen_high: Share,
    pub covered: Share,
    /// Width and height of the photo as it lies on the print, beyond its edges if it fills it (nanometres).
    pub image: (Share, Share),
    /// What comes off the print's width and height, half at each side.
    pub off_width: Length,
    pub off_height: Length,
}

impl Print {
    /// The share of the photo that is seen in its place.
    pub fn seen(&self) -> Share {
        self.seen_wide * self.seen_high
    }
}

/// The print that loses least: at least `1 - most_cut` of the photo seen if that can be, then most of
/// the place covered. `None` if no print is as large as the place.
pub fn print<'c>(
    (across, up): (i64, i64),
    (width, height): (Length, Length),
    prints: impl Iterator<Item = (usize, &'c Card)>,
    most_cut: Share,
) -> Option<Print> {
    let least = Share::from_integer(1) - most_cut;
    let shape = whole(across) / whole(up);
    let one = Share::from_integer(1);
    let mut best: Option<((bool, Share, Share), Print)> = None;
    for (at, card) in prints {
        let sides = (card.width.least(), card.height.least());
        for (turned, (wide, high)) in [(false, sides), (true, (sides.1, sides.0))] {
            if wide < width || high < height || (turned && sides.0 == sides.1) {
                continue;
            }
            for entire in [false, true] {
                // As wide as the print, or as high.
                let by_width = (length(wide) / length(high) > shape) != entire;
                let (image_wide, image_high) = match by_width {
                    true => (length(wide), length(wide) / shape),
                    false => (length(high) * shape, length(high)),
                };
                let seen_wide = one.min(length(width) / image_wide);
                let seen_high = one.min(length(height) / image_high);
                let seen = seen_wide * seen_high;
                let covered =
                    one.min(image_wide / length(width)) * one.min(image_high / length(height));
                let worth = match seen >= least {
                    true => (true, covered, seen),
                    false => (false, seen, covered),
                };
                if best.as_ref().is_none_or(|(known, _)| worth > *known) {
                    let print = Print {
                        print: at,
                        turned,
                        whole: entire,
                        seen_wide,
                        seen_high,
                        covered,
                        image: (image_wide, image_high),
                        off_width: Length::from_nm(wide.nm() - width.nm()),
                        off_height: Length::from_nm(high.nm() - height.nm()),
                    };
                    best = Some((worth, print));
                }
            }
        }
    }
    best.map(|(_, print)| print)
}
