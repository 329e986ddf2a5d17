//! Texts of hand-made facts, in inches and in millimetres.

mod changes;
mod questions;

use super::*;
use crate::explain::deeds::{Deed, Supply};
use crate::explain::{Explanation, Fix, FixChange, FixList, Kind};
use crate::length::{Interval, parse_interval, parse_length};
use crate::plan::clash::Member;
use crate::style::shipped::shipped;
use crate::style::{self, Style};
use crate::text::Files;
use std::sync::LazyLock;

fn len(text: &str) -> Length {
    parse_length(text).expect("a length")
}

fn int(text: &str) -> Interval {
    parse_interval(text).expect("a length")
}

/// An album's file of three lines, and a style's of two.
fn files() -> Files {
    let mut files = Files::default();
    files.add("album.toml", "album = \"A\"\nsize = \"4 x 6 in\"\nease\n");
    files.add("style upright", "style\nrule\n");
    files
}

fn from<'a>(files: &'a Files, ruler: &str, leaves: usize) -> From<'a> {
    From {
        title: "postcards",
        ruler: Ruler::parse(ruler).expect("a ruler"),
        bag: false,
        without_pocket: false,
        file: true,
        leaves,
        style: &STYLE,
        files,
    }
}

/// The style that is shipped, with its words.
static STYLE: LazyLock<Style> = LazyLock::new(|| {
    let mut files = Files::default();
    let file = files.add("upright", shipped("upright").expect("it is shipped"));
    style::text::read(&mut files, file).unwrap_or_else(|_| panic!("it is sound"))
});

fn member(because: &str, short: &str, sense: Sense) -> Member {
    Member {
        name: "a pull-out clears the holes".to_owned(),
        of: "post_card".to_owned(),
        because: Some(Phrase::words(because)),
        source: "common practice".to_owned(),
        place: Place::new(1, 6, 10),
        short: Some(len(short)),
        sense,
        and: Vec::new(),
        kept: false,
        givens: vec![
            (
                "leaf.width".to_owned(),
                int("4 3/8 in"),
                Some(Place::new(0, 12, 16)),
            ),
            ("ease".to_owned(), int("1/8 in"), None),
            // Nothing is no measure to look up.
            ("post_card.show".to_owned(), int("0 in"), None),
        ],
    }
}

fn clash(short: &str) -> Clash {
    Clash {
        members: vec![member(
            "1/4 in + 4 in of post_card + 3/8 in = 4 5/8 in; the leaf is 4 3/8 in wide",
            short,
            Sense::TooMuch,
        )],
        least: Vec::new(),
        proved_minimal: true,
        also: Vec::new(),
    }
}

fn sizes(all: &[(&str, &str)]) -> Option<Vec<(String, Interval)>> {
    let one = |(name, value): &(&str, &str)| ((*name).to_owned(), int(value));
    Some(all.iter().map(one).collect())
}

fn fix(changes: Vec<FixChange>, sizes: Option<Vec<(String, Interval)>>) -> Fix {
    Fix {
        changes,
        effort: 0,
        unkept: 0,
        price: 2,
        proved: true,
        sizes,
    }
}

fn cut(to: &str) -> FixChange {
    resized("post_card.width", "4 in", to)
}

fn resized(name: &str, from: &str, to: &str) -> FixChange {
    FixChange::Measure {
        kind: Kind::Size,
        name: name.to_owned(),
        of: "shore".to_owned(),
        why: String::new(),
        from: int(from),
        to: int(to),
    }
}

fn explained(fixes: Vec<FixList>) -> Explanation {
    Explanation {
        meant: None,
        lying: Vec::new(),
        clashes: vec![clash("1/4 in")],
        all_clashes: true,
        more_clashes: 0,
        whole: Vec::new(),
        fixes,
        hopeless: false,
        bottoms: Vec::new(),
    }
}

fn use_bag() -> FixChange {
    FixChange::Do(Deed::Use {
        supply: Supply::Bag,
        leaf: "shore".to_owned(),
        of: String::new(),
        from: "small brown".to_owned(),
        to: "lunch brown".to_owned(),
    })
}

fn bag_swap() -> Fix {
    fix(vec![use_bag()], sizes(&[("front_mat.width", "5 in")]))
}

fn plain(text: &str) -> String {
    anstream::adapter::strip_str(text).to_string()
}

#[track_caller]
fn reads(told: &str, expected: &str) {
    let told = plain(told);
    let expected = expected.trim_start_matches('\n');
    assert!(told == expected, "told:\n{told}\nexpected:\n{expected}");
    assert!(
        told.lines().all(|line| line.chars().count() <= 80),
        "{told}"
    );
}

#[test]
fn a_clash_is_told_with_what_is_missing_and_what_makes_it_fit() {
    let files = files();
    let first = fix(
        vec![cut("3 3/4 in")],
        sizes(&[
            ("template.edge", "1/4 in"),
            ("template.first", "1 in"),
            ("template.pitch", "2 in"),
            ("front_mat.width", "4 1/4 in"),
            ("front_mat.height", "5 in"),
            ("photo_mat.photo.width", "3 in"),
            ("photo_mat.photo.height", "4 in"),
            ("photo_mat.photo.unit", "1 in"),
        ]),
    );
    let second = fix(
        vec![
            FixChange::Measure {
                kind: Kind::Quantity,
                name: "hole_clear".to_owned(),
                of: String::new(),
                why: "a hole's rim to an insert".to_owned(),
                from: int("1/8 in"),
                to: int("0 in"),
            },
            FixChange::Accept {
                rule: "a pull-out clears the holes".to_owned(),
                of: "post_card".to_owned(),
                by: len("1/8 in"),
            },
        ],
        sizes(&[
            ("template.edge", "1/4 in"),
            ("template.first", "1 in"),
            ("template.pitch", "2 in"),
            ("front_mat.width", "4 1/4 in"),
            ("front_mat.height", "4 7/8 in"),
            ("photo_mat.photo.width", "3 in"),
            ("photo_mat.photo.height", "4 in"),
            ("photo_mat.photo.unit", "1 in"),
        ]),
    );
    let third = fix(
        vec![FixChange::LeaveOut {
            name: "post_card".to_owned(),
            leaf: "shore".to_owned(),
        }],
        sizes(&[("template.edge", "1/4 in")]),
    );
    let list = FixList {
        fixes: vec![first, bag_swap(), second, third],
        meanwhile: Some(0),
        cheapest: None,
        all: true,
        nothing_mends: Vec::new(),
        clashes: Vec::new(),
    };
    let explained = explained(vec![list]);
    let from = from(&files, "1/8 in", 1);
    reads(
        &text(from, Answer::Clash(&explained)),
        r#"
Postcards (ruler 1/8 in)
It does not fit.
  Cut post card down by 1/4 in to 3 3/4 in wide; or use bag `lunch brown`
    instead of `small brown` for `shore`; or leave out post card.

What clashes
   1  A pull-out clears the holes (post_card)
      1/4 in + 4 in of post card + 3/8 in = 4 5/8 in; the leaf is 4 3/8 in wide.
        That is 1/4 in too much.
      leaf.width 4 3/8 in: album.toml:2
      ease 1/8 in
      [common practice; style upright:2]
  No sizes keep this rule; that is proved.

What makes it fit, easiest first
  To have one written into the album's file: `why` with `--do 1`.
   1  Cut post card down by 1/4 in to 3 3/4 in wide.
      Sizes then: hole centres 1/4 in from the spine edge; the lowest hole 1 in
        above the tail; hole spacing 2 in; front mat 4 1/4 x 5 in; photo mat's
        photo 3 x 4 in.
   2  Use bag `lunch brown` instead of `small brown` for `shore`.
      Sizes then, where not as with the first: front mat 5 in wide.
   3  Make `hole_clear` 1/8 in smaller: 0 in (a hole's rim to an insert;
      `--set hole_clear="0 in"`); and accept 1/8 in less at: a pull-out clears
      the holes (post_card).
      Sizes then, where not as with the first: front mat 4 1/4 x 4 7/8 in.
   4  Leave out post card.
      Sizes then: as with the first.
  With each the album was worked out again, and fits. By whole steps of the
  ruler, less is not enough; that is proved.
"#,
    );
}

#[test]
fn parts_limits_and_several_clashes_are_said() {
    let files = files();
    let metric = resized("post_card.height", "150 to 152 mm", "147 to 149 mm");
    let mut half = fix(vec![metric], None);
    half.proved = false;
    let lists = vec![
        FixList {
            fixes: vec![half],
            meanwhile: Some(0),
            cheapest: None,
            all: false,
            nothing_mends: Vec::new(),
            clashes: Vec::new(),
        },
        FixList {
            fixes: vec![fix(vec![cut("95.6 mm")], None)],
            meanwhile: Some(0),
            cheapest: Some(fix(
                vec![
                    cut("100.6 mm"),
                    FixChange::Measure {
                        kind: Kind::Quantity,
                        name: "ease".to_owned(),
                        of: String::new(),
                        why: "play".to_owned(),
                        from: int("3 mm"),
                        to: int("2 mm"),
                    },
                ],
                None,
            )),
            all: true,
            nothing_mends: Vec::new(),
            clashes: Vec::new(),
        },
    ];
    let mut explained = explained(lists);
    let mut second = clash("2 mm");
    second.members[0].because = Some(Phrase::words(
        "a hole is 10 mm from the tail; 12 mm is the least",
    ));
    second.members[0].sense = Sense::TooLittle;
    second.members[0].of = String::new();
    second.members[0].givens = Vec::new();
    second.members.push(second.members[0].clone());
    second.members[1].because = None;
    second.least = vec![("shore: photo_mat.photo.width".to_owned(), len("12 mm"))];
    second.proved_minimal = false;
    explained.clashes = vec![second, explained.clashes[0].clone()];
    explained.clashes[1].also = vec!["dune: post_card".to_owned(), "cover: post_card".to_owned()];
    explained.all_clashes = false;
    explained.more_clashes = 3;
    let from = from(&files, "1 mm", 2);
    reads(
        &explanation(from, &explained),
        r#"
It does not fit.

What clashes, 1 of 2
  Sizes that you did not give are shown as they would be to keep all of these
  rules but one.
   1  A pull-out clears the holes
      A hole is 10 mm from the tail; 12 mm is the least. That is 2 mm too
        little.
      [common practice; style upright:2]
   2  A pull-out clears the holes
      [common practice; style upright:2]
      Whatever the rules say, the width of photo mat's photo (shore) is never
      less than 12 mm.
  No sizes keep all of them. It may not be minimal: a limit was met before it
  was proved that each of them is needed.

What clashes, 2 of 2
   1  A pull-out clears the holes (post_card)
      1/4 in + 4 in of post card + 3/8 in = 4 5/8 in; the leaf is 4 3/8 in wide.
        That is 6.35 mm too much.
      leaf.width 111.125 mm: album.toml:2
      ease 3.175 mm
      [common practice; style upright:2]
  No sizes keep this rule; that is proved.
  The same rules clash with the same numbers for dune: post card; cover: post
  card.
  These are the fewest; at least 3 other sets of rules clash beside them.

What makes it fit: one from each list, easiest first
  Sizes are those with the first of each other list.
  To have one of each written into the album's file: `why` with `--do 1,2`.
  List 1 of 2
   1  Cut post card (shore) down by 3 mm to 147 to 149 mm high.
      A little less may do too: a limit was met before that was known.
  There may be other ways.
  List 2 of 2
   2  Cut post card (shore) down by 6 mm to 95.6 mm wide.
  Cheapest of all, with smaller amounts of more changes:
   3  Cut post card (shore) down by 1 mm to 100.6 mm wide; and make `ease` 1 mm
      smaller: 2 mm (play; `--set ease="2 mm"`).
  By whole steps of the ruler, less is not enough; that is proved.
"#,
    );
}
