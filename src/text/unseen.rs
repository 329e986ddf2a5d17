//! Characters that a reader does not see: two names would look alike, or one would look like another.

use unicode_properties::{GeneralCategory, UnicodeGeneralCategory};

/// What a character is that is not seen; `None` if it is seen. Spaces are.
pub(crate) fn unseen(sign: char) -> Option<&'static str> {
    use GeneralCategory as Is;
    // What a plain keyboard types: most of any file, and no table is needed for it.
    if matches!(sign, ' '..='~') {
        return None;
    }
    Some(match sign.general_category() {
        Is::Control => "a control character",
        // Zero-width ones, and those that turn the direction of reading.
        Is::Format => "a formatting character",
        Is::LineSeparator | Is::ParagraphSeparator => "a line break",
        Is::PrivateUse => "a character of private use",
        Is::Surrogate | Is::Unassigned => "a character that does not exist",
        // Seen by their kind, and blank: Unicode's list of ignorable characters, and blank braille.
        _ => match sign {
            '\u{115f}' | '\u{1160}' | '\u{3164}' | '\u{ffa0}' | '\u{2800}' => "a blank letter",
            '\u{34f}'
            | '\u{17b4}'
            | '\u{17b5}'
            | '\u{180b}'..='\u{180f}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{e0100}'..='\u{e01ef}' => "a mark that only changes its neighbour",
            _ => return None,
        },
    })
}

/// A text with a question mark for whatever is not seen.
pub fn seen(text: &str) -> String {
    let shown = |sign| unseen(sign).map_or(sign, |_| '?');
    text.chars().map(shown).collect()
}

#[cfg(test)]
mod tests {
    use super::{seen, unseen};

    #[test]
    fn what_is_seen_stays() {
        let text = "Über 4⅜ in × ½ – “Tide” naïve 日本語 ありがとう кот ♥ 🌊 e\u{301} a\u{a0}b";
        assert_eq!(seen(text), text);
    }

    #[test]
    fn what_is_not_seen_is_found() {
        for sign in [
            '\0',
            '\u{1b}',
            '\u{7f}',
            '\u{85}',
            '\u{ad}',
            '\u{200b}',
            '\u{200d}',
            '\u{200f}',
            '\u{202e}',
            '\u{2028}',
            '\u{2060}',
            '\u{2066}',
            '\u{feff}',
            '\u{e000}',
            '\u{378}',
            '\u{fe0f}',
            '\u{3164}',
            '\u{2800}',
            '\u{e0041}',
            '\u{10ffff}',
        ] {
            assert!(unseen(sign).is_some(), "{sign:?}");
        }
    }
}
