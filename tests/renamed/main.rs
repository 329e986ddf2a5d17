//! A style whose every quantity, part, mark, slot and name is called something else, and the albums
//! with it: the same rows, the same answers, the same words but for these names. Nothing in the
//! program knows a style by its names.

#[path = "../common/mod.rs"]
mod common;
mod outputs;
mod text;
mod words;

use common::{ALSO, UPRIGHT};
use outputs::Ask;
use rayon::prelude::*;
use tuckwright::album::{Album, PartPaper, Value};
use tuckwright::length::{Interval, Length};
use tuckwright::program::expand::{SizeOf, expand};
use tuckwright::solve::{Limits, solve};
use tuckwright::style::Style;
use tuckwright::supplies::Bottom;
use tuckwright::text::Said;
use tuckwright::{Outcome, work};
use words::Words;

/// Words that stand in the program's own sentences are no new names.
fn others() -> String {
    let mut all = UPRIGHT.to_owned() + ALSO[0].1 + ALSO[1].1;
    for file in [
        "README.md",
        "src/vocabulary/mod.rs",
        "src/vocabulary/base.rs",
    ] {
        all.push_str(&std::fs::read_to_string(file).expect("it is there"));
    }
    for topic in std::fs::read_dir("src/cli/help").expect("topics of `help`") {
        let text = std::fs::read_to_string(topic.expect("a topic").path());
        all.push_str(&text.expect("it is there"));
    }
    all
}

fn other(seed: u64, first: bool) -> (Style, Words, Style) {
    let style = common::upright();
    let words = Words::new(&style, seed, first, &others());
    assert!(words.names.len() > 60, "{}", words.names.len());
    let mut text = words.style(UPRIGHT);
    for file in ["extras", "closures"] {
        let also = format!("[also.{file}.");
        assert!(text.contains(&also), "it takes it over");
        text = text.replace(&also, &format!("[also.\"{file}.toml\"."));
    }
    let other = common::style_with(&text, &ALSO.map(|(name, text)| (name, words.style(text))));
    assert_eq!(style.rules.len(), other.rules.len());
    (style, words, other)
}

#[test]
fn the_same_rows_and_sizes() {
    let (style, words, other) = other(1, false);
    let limits = Limits::default();
    let (mut fits, mut clashes) = (0, 0);
    for seed in 0..120 {
        let before = common::varied(seed);
        let after = words.album(&before);
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
        let new: Vec<String> = names.iter().map(|it| words.renamed(it)).collect();
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

/// Albums that are shipped, and varied ones of which some clash.
fn albums() -> Vec<(String, Album)> {
    let shipped = ["low-water", "hut-book"].map(|name| (name.to_owned(), common::shipped(name)));
    let varied = (0..12).map(|seed| (format!("varied {seed}"), common::varied(seed)));
    shipped.into_iter().chain(varied).collect()
}

/// What is written otherwise of an album, but for the names.
fn differ(ask: Ask, (style, words, other): (&Style, &Words, &Style), album: &Album) -> Vec<String> {
    let before = outputs::all(style, album, ask);
    let after = outputs::all(other, &words.album(album), ask);
    assert_eq!(before.len(), after.len(), "{}", album.title);
    let mut wrong = Vec::new();
    for ((what, one), (_, two)) in before.iter().zip(&after) {
        let strays = words.strays(one);
        assert!(strays.is_empty(), "{}, {what}: {strays:?}", album.title);
        for typed in words.typed(two) {
            wrong.push(format!("{what}: `{typed}` is to be typed"));
        }
        let two = words.back(two);
        if *one != two {
            let lines = one.lines().zip(two.lines());
            let differ = lines.filter(|(one, two)| one != two).take(3);
            let differ: Vec<String> = differ.map(|(a, b)| format!("- {a}\n+ {b}")).collect();
            wrong.push(format!("{what}\n{}", differ.join("\n")));
        }
    }
    wrong
}

fn the_same(ask: Ask, (style, words, other): (Style, Words, Style)) {
    let albums = albums();
    let each = albums.par_iter().flat_map_iter(|(name, album)| {
        let wrong = differ(ask, (&style, &words, &other), album);
        wrong.into_iter().map(move |it| format!("{name}, {it}"))
    });
    let wrong: Vec<String> = each.collect();
    assert!(
        wrong.is_empty(),
        "{} differ\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn the_same_words() {
    let ask = Ask {
        words: true,
        drawings: false,
    };
    the_same(ask, other(2, false));
}

/// An album of which the style knows little: each error, and what may be typed instead.
#[test]
fn the_same_errors() {
    let (style, words, other) = other(4, false);
    // Like no other word, so that none is near it.
    let said = |value: &str| Said {
        value: value.to_owned(),
        place: Default::default(),
    };
    let nothing = Interval::exact(Length::ZERO);
    let mut some = 0;
    for (name, album) in albums() {
        let mut faulty = Vec::new();
        let mut spoil = |how: &dyn Fn(&mut Album)| {
            let mut album = album.clone();
            how(&mut album);
            faulty.push(album);
        };
        spoil(&|album| album.prefer.push(said("largest zzzzzzzz.width")));
        spoil(&|album| {
            album
                .set
                .push((said("zzzzzzzz"), said("").with(Value::Length(nothing))))
        });
        spoil(&|album| {
            album.leaves[0]
                .given
                .push((said("zzzzzzzz.width"), nothing))
        });
        spoil(&|album| {
            let leaf = &mut album.leaves[0];
            leaf.parts.push(("zzzzzzzz".to_owned(), PartPaper::Any));
            leaf.named.push(said("zzzzzzzz"));
        });
        spoil(&|album| {
            let inserts = album.leaves.iter_mut().flat_map(|leaf| &mut leaf.inserts);
            inserts.for_each(|insert| insert.goes = said("zzzzzzzz"));
        });
        spoil(&|album| {
            let inserts = album.leaves.iter_mut().flat_map(|leaf| &mut leaf.inserts);
            inserts.for_each(|insert| insert.section = Some(said("zzzzzzzz")));
        });
        for bag in [0, 1] {
            spoil(&|album| {
                // A flat bag without a pocket has no place for most things.
                for one in album.supplies.bags.iter_mut().skip(bag) {
                    (one.gusset, one.pocket, one.folded) = (None, None, None);
                    one.bottom = Bottom::Pinch;
                }
            });
        }
        for (n, album) in faulty.iter().enumerate() {
            let one = expand(&style, album).err().unwrap_or_default();
            let two = expand(&other, &words.album(album))
                .err()
                .unwrap_or_default();
            some += usize::from(!one.is_empty());
            let two = outputs::told(&two);
            assert!(words.typed(&two).is_empty(), "{name}, {n}: {two}");
            assert_eq!(outputs::told(&one), words.back(&two), "{name}, {n}");
        }
    }
    assert!(some > 60, "{some}");
}

/// What is printed is as wide as before only if its first letters stay, as some are capitals.
#[test]
fn the_same_drawings() {
    let ask = Ask {
        words: false,
        drawings: true,
    };
    the_same(ask, other(3, true));
}
