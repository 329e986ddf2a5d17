//! A style whose every quantity, part, slot and name is called something else, and the albums with it:
//! the same rows, the same answers. Nothing in the program knows a style by its names.

use super::common::{self, UPRIGHT};
use std::collections::BTreeMap;
use tuckwright::album::Album;
use tuckwright::program::expand::{SizeOf, expand};
use tuckwright::solve::{Limits, solve};
use tuckwright::style::Style;
use tuckwright::style::parts;
use tuckwright::{Outcome, work};

/// The new word for each old one. New words sort as the old ones do, so that no order changes.
fn words(style: &Style) -> BTreeMap<String, String> {
    let quantities = style.quantities.iter();
    // What the program itself needs keeps its name.
    let own =
        quantities.filter(|it| it.place != style.quantities[style.quantities.len() - 1].place);
    let quantities = own.map(|it| it.name.clone());
    let parts = parts::all(&style.parts);
    let parts = parts.iter().map(|it| it.name.clone());
    let heads = style.names.iter().map(|it| it.name.head().to_owned());
    let mut all: Vec<String> = quantities.chain(parts).chain(heads).collect();
    all.sort();
    all.dedup();
    // Kinds of things that lists of the vocabulary bind.
    all.retain(|name| !["leaf", "hole"].contains(&name.as_str()));
    let letter = |n: usize| char::from(b'a' + u8::try_from(n % 26).expect("a letter"));
    let word = |n: usize| format!("wx{}{}{}", letter(n / 676), letter(n / 26), letter(n));
    all.into_iter()
        .enumerate()
        .map(|(n, old)| (old, word(n)))
        .collect()
}

/// A name with its words exchanged: the first, or behind a variable the second.
fn renamed(path: &str, words: &BTreeMap<String, String>) -> String {
    let parts: Vec<&str> = path.split('.').collect();
    let new = |word: &str| words.get(word).cloned().unwrap_or_else(|| word.to_owned());
    let out: Vec<String> = match parts[..] {
        [one] => vec![new(one)],
        [head, part, field] => vec![new(head), new(part), field.to_owned()],
        [head, ref rest @ ..] => {
            let rest = rest.iter().map(|it| (*it).to_owned());
            std::iter::once(new(head)).chain(rest).collect()
        }
        [] => Vec::new(),
    };
    out.join(".")
}

/// Every name in a text of the rules, but no text in double quotes.
fn in_rule(text: &str, words: &BTreeMap<String, String>) -> String {
    let mut out = String::new();
    let mut name = String::new();
    let mut quoted = false;
    let is_name = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || c == '.';
    for c in text.chars().chain(['\n']) {
        if !quoted && is_name(c) {
            name.push(c);
            continue;
        }
        out.push_str(&renamed(&name, words));
        name.clear();
        quoted ^= c == '"';
        out.push(c);
    }
    out.pop();
    out
}

/// The whole style: rules in single quotes, names in braces, keys, and texts that are names.
fn style_text(words: &BTreeMap<String, String>) -> String {
    let mut out = String::new();
    let mut name_table = false;
    for line in UPRIGHT.lines() {
        if line.trim_start().starts_with('#') {
            continue;
        }
        if line.starts_with('[') {
            name_table = line == "[name]";
        }
        let mut rest = line;
        // A quantity or a name at the head of its line.
        let key: String = rest
            .chars()
            .take_while(|c| c.is_ascii_lowercase() || *c == '_')
            .collect();
        if words.contains_key(&key) && rest[key.len()..].trim_start().starts_with("= {") {
            out.push_str(&words[&key]);
            rest = &rest[key.len()..];
        }
        while let Some(at) = rest.find(['\'', '"']) {
            let quote = &rest[at..=at];
            let before = &rest[..at];
            out.push_str(before);
            let end = at + 1 + rest[at + 1..].find(quote).expect("a quote ends");
            let inside = &rest[at + 1..end];
            let key = before.trim_end().trim_end_matches('=').trim_end();
            let names = ["name", "least", "low"].iter().any(|it| key.ends_with(it));
            let preference = key.ends_with("prefer");
            let new = match (quote, name_table && before.trim().is_empty()) {
                ("'", _) => in_rule(inside, words),
                (_, true) => renamed(inside, words),
                _ if names && !inside.contains(' ') => renamed(inside, words),
                _ if preference => inside
                    .split(' ')
                    .map(|it| renamed(it, words))
                    .collect::<Vec<_>>()
                    .join(" "),
                _ => braces(inside, words),
            };
            out.push_str(quote);
            out.push_str(&new);
            out.push_str(quote);
            rest = &rest[end + 1..];
        }
        out.push_str(rest);
        out.push('\n');
    }
    out
}

/// A sentence: the names in its braces.
fn braces(text: &str, words: &BTreeMap<String, String>) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(open) = rest.find('{') {
        let close = open + rest[open..].find('}').expect("a brace closes");
        out.push_str(&rest[..=open]);
        out.push_str(&in_rule(&rest[open + 1..close], words));
        rest = &rest[close..];
    }
    out.push_str(rest);
    out
}

fn album(album: &Album, words: &BTreeMap<String, String>) -> Album {
    let mut album = album.clone();
    for line in &mut album.prefer {
        // The name of a wish is none of the style's words.
        if !line.value.starts_with("keep ") {
            let new = line.value.split(' ').map(|it| renamed(it, words));
            line.value = new.collect::<Vec<_>>().join(" ");
        }
    }
    for (name, _) in &mut album.set {
        name.value = renamed(&name.value, words);
    }
    for leaf in &mut album.leaves {
        for (name, _) in &mut leaf.parts {
            *name = renamed(name, words);
        }
        let given = leaf.given.iter_mut().chain(&mut leaf.measured);
        let names = given.map(|(name, _)| name).chain(&mut leaf.named);
        for name in names {
            name.value = renamed(&name.value, words);
        }
    }
    album
}

#[test]
fn names_are_only_names() {
    let style = common::upright();
    let words = words(&style);
    assert!(words.len() > 60, "{}", words.len());
    let other = common::style(&style_text(&words));
    assert_eq!(style.rules.len(), other.rules.len());
    let limits = Limits::default();
    let (mut fits, mut clashes) = (0, 0);
    for seed in 0..120 {
        let before = common::varied(seed);
        let after = album(&before, &words);
        let (one, two) = match (expand(&style, &before), expand(&other, &after)) {
            (Ok(one), Ok(two)) => (one, two),
            (Err(one), Err(two)) => {
                assert_eq!(one.len(), two.len(), "{seed}: {one:?} {two:?}");
                continue;
            }
            (one, two) => panic!("{seed}: {:?} {:?}", one.err(), two.err()),
        };
        assert_eq!(one.program.rows, two.program.rows, "{seed}");
        assert_eq!(one.program.instances, two.program.instances, "{seed}");
        // Sizes that are only made for a preference are called after several others.
        let of_things = |it: &tuckwright::program::expand::Expanded| {
            let sizes = it.sizes.iter();
            let name = |size: &SizeOf| it.model.scene.size_name(size.thing, &size.field);
            sizes.map(name).collect::<Vec<_>>()
        };
        let names = of_things(&one);
        let new: Vec<String> = names.iter().map(|it| renamed(it, &words)).collect();
        assert_eq!(new, of_things(&two), "{seed}");
        let values = [&one, &two].map(|it| solve(&it.program, &limits).values);
        assert_eq!(values[0], values[1], "{seed}");
        match work(&other, &after, &limits).expect("it expands").outcome {
            Outcome::Fits(_) => fits += 1,
            Outcome::Clash(_) => clashes += 1,
            other => panic!("{seed}: {other:?}"),
        }
    }
    assert!(fits > 30 && clashes > 20, "{fits} fit, {clashes} clash");
}
