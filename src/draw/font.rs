//! The font that all drawings are set in, and how much room a text takes in it.
//!
//! Noto Sans (SIL Open Font License 1.1; its text is in `NOTO-LICENCE.txt` beside this file), set
//! without kerning, so that a text is as wide as its letters together, in every writer.

use crate::length::Length;
use std::sync::OnceLock;
use ttf_parser::Face as Tables;

/// The family's name.
pub const FAMILY: &str = "Noto Sans";

/// Regular or bold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Face {
    Regular,
    Bold,
}

/// Room of a line of text, rounded up (nanometres): its width, and how far letters reach above and
/// below the baseline.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Extent {
    pub width: i64,
    pub above: i64,
    pub below: i64,
}

/// The font file.
pub const fn bytes(face: Face) -> &'static [u8] {
    match face {
        Face::Regular => notosans::REGULAR_TTF,
        Face::Bold => notosans::BOLD_TTF,
    }
}

fn tables(face: Face) -> Option<&'static Tables<'static>> {
    static REGULAR: OnceLock<Option<Tables<'static>>> = OnceLock::new();
    static BOLD: OnceLock<Option<Tables<'static>>> = OnceLock::new();
    let (kept, bytes) = match face {
        Face::Regular => (&REGULAR, bytes(face)),
        Face::Bold => (&BOLD, bytes(face)),
    };
    kept.get_or_init(|| Tables::parse(bytes, 0).ok()).as_ref()
}

/// Whether the font can draw a letter.
pub fn has(letter: char) -> bool {
    if (' '..='~').contains(&letter) {
        return true;
    }
    let known = |face| tables(face).is_some_and(|t| t.glyph_index(letter).is_some());
    known(Face::Regular) && known(Face::Bold)
}

/// A text with `?` for every letter that the font cannot draw, and a space for line ends and tabs.
pub fn drawable(text: &str) -> String {
    let letter = |letter: char| match letter {
        c if c.is_control() => ' ',
        c if has(c) => c,
        _ => '?',
    };
    text.chars().map(letter).collect()
}

/// One letter's number in the font and its width there, in parts of [`units`].
pub fn glyph(face: Face, letter: char) -> (u16, i64) {
    let Some(tables) = tables(face) else {
        return (0, 0);
    };
    let id = tables.glyph_index(letter).unwrap_or_default();
    (id.0, i64::from(tables.glyph_hor_advance(id).unwrap_or(0)))
}

/// In how many parts the font divides its size.
pub fn units(face: Face) -> i64 {
    tables(face).map_or(1000, |t| i64::from(t.units_per_em().max(1)))
}

/// A letter in parts of the font's size: its width, and how far it reaches up and down.
#[derive(Clone, Copy, Default)]
struct Letter {
    width: i64,
    above: i64,
    below: i64,
}

fn measured(tables: &Tables<'_>, letter: char) -> Letter {
    let id = tables.glyph_index(letter).unwrap_or_default();
    let bounds = tables.glyph_bounding_box(id);
    Letter {
        width: i64::from(tables.glyph_hor_advance(id).unwrap_or(0)),
        above: bounds.map_or(0, |b| i64::from(b.y_max)),
        below: bounds.map_or(0, |b| -i64::from(b.y_min)),
    }
}

/// The letters that most texts are made of, measured once: those of western Europe; dashes, quotes and what
/// fractions are set in.
const USUAL: [std::ops::Range<u32>; 2] = [0..0x100, 0x2000..0x2200];

fn letter(face: Face, letter: char) -> Letter {
    static REGULAR: OnceLock<Vec<Letter>> = OnceLock::new();
    static BOLD: OnceLock<Vec<Letter>> = OnceLock::new();
    let kept = match face {
        Face::Regular => &REGULAR,
        Face::Bold => &BOLD,
    };
    let Some(tables) = tables(face) else {
        return Letter::default();
    };
    let usual = || {
        let all = USUAL.into_iter().flatten().filter_map(char::from_u32);
        all.map(|c| measured(tables, c)).collect()
    };
    let [western, signs] = USUAL;
    let at = match letter as u32 {
        c if western.contains(&c) => c,
        c if signs.contains(&c) => c - signs.start + western.end,
        _ => return measured(tables, letter),
    };
    kept.get_or_init(usual)[at as usize]
}

/// Parts of the font's size as nanometres, rounded up.
fn room(face: Face, size: Length, parts: i64) -> i64 {
    let units = units(face);
    (parts * size.nm() + units - 1).div_euclid(units)
}

/// The room that a text takes.
pub fn extent(face: Face, size: Length, text: &str) -> Extent {
    let mut all = Letter::default();
    for each in text.chars().map(|c| letter(face, c)) {
        all.width += each.width;
        all.above = all.above.max(each.above);
        all.below = all.below.max(each.below);
    }
    Extent {
        width: room(face, size, all.width),
        above: room(face, size, all.above),
        below: room(face, size, all.below),
    }
}

/// Height of a capital letter, rounded up (nanometres).
pub fn capital(face: Face, size: Length) -> i64 {
    extent(face, size, "H").above
}

/// A text in lines that are no wider than `width` (nanometres). It is broken at spaces that may
/// break, and inside a word only where the word alone is wider.
pub fn lines(face: Face, size: Length, text: &str, width: i64) -> Vec<String> {
    let parts = |text: &str| -> i64 { text.chars().map(|c| letter(face, c).width).sum() };
    let fits = |parts: i64| room(face, size, parts) <= width;
    let space = parts(" ");
    let mut lines: Vec<String> = Vec::new();
    // The line so far, and its width.
    let (mut now, mut long) = (String::new(), 0);
    for word in text.split([' ', '\n', '\t']).filter(|w| !w.is_empty()) {
        let more = parts(word);
        if !now.is_empty() && fits(long + space + more) {
            now.push(' ');
            now.push_str(word);
            long += space + more;
            continue;
        }
        if !now.is_empty() {
            lines.push(std::mem::take(&mut now));
            long = 0;
        }
        if fits(more) {
            now.push_str(word);
            long = more;
            continue;
        }
        for each in word.chars() {
            let more = letter(face, each).width;
            if !now.is_empty() && !fits(long + more) {
                lines.push(std::mem::take(&mut now));
                long = 0;
            }
            now.push(each);
            long += more;
        }
    }
    if !now.is_empty() {
        lines.push(now);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_letters_of_lengths_are_there() {
        for letter in "0123456789½¼¾⅛⅜⅝⅞⁄×−±′″\u{a0}\u{202f} inmc.,:;()–’".chars()
        {
            assert!(has(letter), "{letter:?}");
        }
        for letter in ' '..='~' {
            for face in [Face::Regular, Face::Bold] {
                assert_ne!(glyph(face, letter).0, 0, "{letter:?}");
            }
        }
        assert_eq!(drawable("a\u{4e00}b\nc"), "a?b c");
    }

    #[test]
    fn a_text_is_as_wide_as_its_letters() {
        let size = Length::from_nm(3_000_000);
        let one = |text: &str| extent(Face::Regular, size, text).width;
        // Rounded up once for the whole text, so never more than the letters rounded one by one.
        let apart = 2 * one("A") + 2 * one("V");
        assert!((apart - 3..=apart).contains(&one("AVAV")));
        assert!(one("iii") < one("mmm"));
        let (_, advance) = glyph(Face::Regular, 'H');
        let exact = advance * size.nm();
        assert!((one("H") - 1) * units(Face::Regular) < exact);
        assert!(exact <= one("H") * units(Face::Regular));
    }

    #[test]
    fn lines_keep_their_width_and_lose_no_letter() {
        let size = Length::from_nm(3_000_000);
        let text = "lay the template at the spine edge and the tail fold averyveryverylongwordindeed 4\u{a0}in";
        let lines = lines(Face::Regular, size, text, 30_000_000);
        assert!(lines.len() > 3);
        for line in &lines {
            assert!(
                extent(Face::Regular, size, line).width <= 30_000_000,
                "{line}"
            );
        }
        let all: String = lines.concat();
        assert_eq!(all.replace(' ', ""), text.replace(' ', ""));
        assert!(lines.iter().any(|l| l.ends_with("4\u{a0}in")));
    }
}
