//! The known word that was probably meant.

/// The word of a list that is nearest to what was typed, if one is near enough to be meant.
///
/// Of equally near words the first one wins, so the answer does not depend on chance.
pub fn nearest<'w>(typed: &str, words: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let plain = |word: &str| word.to_lowercase().replace(['-', ' '], "_");
    let typed = plain(typed);
    // One slip in three letters; longer words may have more, but never more than three.
    let allowed = (typed.chars().count() / 3).clamp(1, 3);
    let mut best: Option<(usize, &str)> = None;
    for word in words {
        // So much longer or shorter, so many slips at the least.
        if word.len().abs_diff(typed.len()) > allowed && word.is_ascii() && typed.is_ascii() {
            continue;
        }
        let known = plain(word);
        let slips = strsim::damerau_levenshtein(&typed, &known);
        let near = slips <= allowed && slips < known.chars().count();
        if near && best.is_none_or(|(least, _)| slips < least) {
            best = Some((slips, word));
        }
    }
    best.map(|(_, word)| word)
}

/// Names that a remedy lists, at the most.
const MOST_LISTED: usize = 16;

/// The remedy for a name that is not known: the one that was probably meant, else those there are.
pub fn meant<'w>(typed: &str, known: impl IntoIterator<Item = &'w str>) -> String {
    let known: Vec<&str> = known.into_iter().collect();
    if let Some(near) = nearest(typed, known.iter().copied()) {
        return format!("did you mean `{near}`?");
    }
    let listed = known
        .iter()
        .take(MOST_LISTED)
        .map(|word| format!("`{word}`"));
    let listed: Vec<String> = listed.collect();
    let listed = listed.join(", ");
    match known.len() {
        0 => "there is nothing to name here: leave it out".to_owned(),
        1 => format!("type {listed}"),
        n if n > MOST_LISTED => {
            format!("type one of {listed}, or of {} more", n - MOST_LISTED)
        }
        _ => format!("type one of {listed}"),
    }
}

/// How a rule asks for a name that may be missing; `more`: it has other conditions.
pub fn ask(name: &str, more: bool) -> String {
    asked(&format!("given({name})"), more)
}

/// How a rule asks for anything else.
pub fn asked(condition: &str, more: bool) -> String {
    match more {
        true => format!("add `{condition}` to its `when`: `when = ['...', '{condition}']`"),
        false => format!("add `when = '{condition}'` to the rule"),
    }
}

#[cfg(test)]
mod tests {
    use super::{meant, nearest};

    fn check(typed: &str, expected: Option<&str>) {
        let words = [
            "width",
            "height",
            "front_mat",
            "pocket_mat",
            "back_mat",
            "edge",
        ];
        assert_eq!(nearest(typed, words), expected, "{typed}");
    }

    #[test]
    fn slips_of_the_finger_are_recognised_and_other_words_are_not() {
        check("widht", Some("width"));
        check("hight", Some("height"));
        check("front mat", Some("front_mat"));
        check("Front-Mat", Some("front_mat"));
        check("pockt_mat", Some("pocket_mat"));
        check("colour", None);
        check("", None);
        check("e", None);
    }

    #[test]
    fn what_there_is_is_listed_as_one_or_as_many() {
        assert_eq!(
            meant("red", []),
            "there is nothing to name here: leave it out"
        );
        assert_eq!(meant("red", ["sand"]), "type `sand`");
        assert_eq!(meant("red", ["sand", "wave"]), "type one of `sand`, `wave`");
        let many: Vec<String> = (10..28).map(|n| format!("paper {n}")).collect();
        let told = meant("red", many.iter().map(String::as_str));
        assert!(told.ends_with("`paper 25`, or of 2 more"), "{told}");
    }
}
