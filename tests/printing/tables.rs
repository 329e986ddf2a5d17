//! What follows from the tables of a style: the order of its parts, its plies, its words.

use crate::common::{read, shipped, style, varied};
use crate::styles::{boards, card_box, folded_bags};
use crate::{SHIPPED, planned};
use tuckwright::album::Album;
use tuckwright::draw::list::Shape;
use tuckwright::draw::paper::Paper;
use tuckwright::plan::Plan;
use tuckwright::plan::frames::{Laid, What};
use tuckwright::style::Style;

const UPRIGHT: &str = include_str!("../../models/styles/upright.toml");

/// The shipped style with some of its words changed.
fn changed(changes: &[(&str, &str)]) -> Style {
    let mut words = UPRIGHT.to_owned();
    for (from, to) in changes {
        assert!(words.contains(from), "{from}");
        words = words.replace(from, to);
    }
    style(&words)
}

/// A block bag with a pocket 3 in high; its lowest hole is punched where this says.
fn pocketed(first: &str) -> Album {
    read(&format!(
        r#"album = "Tables"
ruler = "1/16 in"
template = {{ first = "{first}", edge = "1/2 in" }}
[[leaf]]
name = "leaf"
bag = "bag"
[[bag]]
name = "bag"
size = "5 x 10 in"
gusset = "3 in"
"#
    ))
}

fn plan(style: &Style, album: &Album) -> Plan {
    planned(style, album).unwrap_or_else(|| panic!("{} does not fit", album.title))
}

/// The line of the table in which a part is declared; the first with these words.
fn row<'t>(words: &str) -> &'t str {
    let row = UPRIGHT.lines().find(|line| line.contains(words));
    row.unwrap_or_else(|| panic!("no row {words}"))
}

#[test]
fn a_part_before_another_is_not_hidden_by_it() {
    let mat = row("{ name = \"front_mat\", when = 'leaf.has_pocket'");
    let flap = row("{ name = \"flap\"");
    let moved = format!("{mat}\n{flap}");
    let album = pocketed("2 in");
    let find = |style: &Style| {
        let plan = plan(style, &album);
        let part = |name: &str| plan.frames[0].part(name).expect(name).clone();
        (part("front_mat"), part("flap").area)
    };
    let (behind, flap_area) = find(&changed(&[]));
    assert!(behind.behind.contains(&flap_area) && behind.runs_under.is_some());
    let (before, flap_area) = find(&changed(&[(mat, ""), (flap, &moved)]));
    assert!(!before.behind.contains(&flap_area) && before.runs_under.is_none());
    assert_eq!(before.area, behind.area, "it lies where it lay");
}

#[test]
fn layers_and_thickness_are_those_of_the_plies() {
    // Between the crease, 1 1/2 in high, and the flap's edge: walls, gusset, flap and corner.
    let album = pocketed("2 in");
    let four = plan(&changed(&[]), &album);
    let corners = [
        "right = 'leaf.gusset / 2', low",
        "left = 'leaf.width - leaf.gusset / 2', low",
    ];
    let rows =
        corners.map(|end| format!("plies = '4', {end} = 'leaf.gusset / 2', high = 'leaf.gusset'"));
    let thin = rows.clone().map(|row| row.replace("'4'", "'2'"));
    let changes = [(&*rows[0], &*thin[0]), (&*rows[1], &*thin[1])];
    let two = plan(&changed(&changes), &album);
    let [four, two] = [&four.leaves[0], &two.leaves[0]];
    assert_eq!((four.layers_at_holes[0], two.layers_at_holes[0]), (10, 8));
    assert!(two.thickness_at_holes.most() < four.thickness_at_holes.most());
    assert_eq!(
        two.thickness, four.thickness,
        "in the middle there is no corner"
    );
}

/// Where holes may stand anywhere, the far gusset does not count: they are on the near half.
#[test]
fn holes_without_bounds_stand_on_the_near_half() {
    let without = changed(&[(", within = ['template.rim', 'leaf.width / 2']", "")]);
    let album = read(
        "album = \"Tables\"\nruler = \"1/16 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\n[[bag]]\nname = \"bag\"\nsize = \"5 x 10 in\"\ngusset = \"3 in\"\n",
    );
    let leaf = |style: &Style| plan(style, &album).leaves[0].clone();
    assert_eq!(leaf(&without).layers_counted, Some(10));
    assert_eq!(leaf(&without), leaf(&changed(&[])));
}

/// Parts of the album are pieces of no leaf.
#[test]
fn what_is_of_the_album_is_in_no_leaf() {
    let (style, album) = boards(&[]);
    let plan = plan(&style, &album);
    for part in &plan.parts {
        let in_leaf = plan.leaves.iter().flat_map(|leaf| &leaf.parts);
        assert!(in_leaf.clone().all(|it| it.label != part.label));
        let of_leaf = plan.frames.iter().filter(|frame| frame.leaf.is_some());
        assert!(
            of_leaf
                .clone()
                .all(|frame| frame.part(&part.label).is_none())
        );
        assert_eq!((&*part.width.leaf, &*part.height.leaf), ("", ""));
    }
}

/// What a bag is made of and what it has room in lies inside its frame; what else stands out is among
/// the facts of the frame.
#[test]
fn every_box_is_inside_its_frame_or_stands_out_as_told() {
    let upright = changed(&[]);
    let mut all: Vec<(Style, Album)> = vec![folded_bags(4), card_box(), boards(&[])];
    let albums = SHIPPED.iter().map(|name| shipped(name));
    let albums = albums.chain((1..60).map(varied));
    all.extend(albums.map(|album| (upright.clone(), album)));
    let (mut inside, mut outside) = (0, 0);
    for (style, album) in &all {
        let Some(plan) = planned(style, album) else {
            continue;
        };
        for frame in &plan.frames {
            let (width, height) = (frame.width.middle().nm(), frame.height.middle().nm());
            let over = |it: &Laid| {
                let it = it.area;
                [-it.left, it.right - width, -it.low, it.high - height]
            };
            for laid in &frame.parts {
                // Room that some of what is uncertain leaves empty has no ends.
                if laid.area.right < laid.area.left || laid.area.high < laid.area.low {
                    continue;
                }
                for (over, out) in over(laid).into_iter().zip(frame.out) {
                    match laid.what {
                        What::Ply(_) | What::Slot(_) => {
                            assert!(over <= 4, "{}: {} stands out", album.title, laid.name);
                        }
                        What::Paper(_) | What::Insert(..) => {
                            assert!(over <= out.nm() + 4, "{}: {}", album.title, laid.name);
                            outside += usize::from(over > 4);
                        }
                    }
                    inside += 1;
                }
            }
        }
    }
    assert!(inside > 1_000 && outside > 4, "{inside} {outside}");
}

#[test]
fn a_slot_without_room_is_not_there() {
    let low = "low = 'leaf.height - front.depth', measure = \"how deep a card slides into the front slot\"";
    let none = low.replace("- front.depth", "+ ease");
    let album = pocketed("2 in");
    let said = |style: &Style| {
        let plan = plan(style, &album);
        let document = crate::uncut(Paper::Letter, &album, &plan);
        let marks = document.pages.iter().flat_map(|page| &page.marks);
        let texts = marks.filter_map(|mark| match &mark.shape {
            Shape::Text(text) => Some(text.words.clone()),
            _ => None,
        });
        texts.collect::<Vec<_>>().join(" ")
    };
    let measured = "how deep a card slides into the front slot";
    assert!(said(&changed(&[])).contains(measured));
    assert!(!said(&changed(&[(low, &none)])).contains(measured));
}

/// A flip on a mat and a slot in the flip: their ends are those of what they lie on.
#[test]
fn things_nest_in_each_other() {
    let lappet = r#"{ name = "lappet_slot", opens = "low", place = "lappet", edge = "the lappet's low edge", left = 'lappet.left + side_reveal', right = 'lappet.right - side_reveal', low = 'lappet.low', high = 'lappet.high - border' },
  { name = "inner_slot", opens = "low", place = "inner", edge = "the inner edge", left = 'lappet_slot.left + border', right = 'lappet_slot.right - border', low = 'lappet_slot.low', high = 'lappet_slot.high - border' },
  { name = "lappet", left = 'front_mat.left + border', right = 'front_mat.right - border', low = 'front_mat.high - band_height - border', high = 'front_mat.high - border' },
"#;
    let mat = row("{ name = \"front_mat\", when = 'not leaf.has_pocket'");
    let nested = format!("{lappet}{mat}");
    let style = changed(&[(mat, &nested)]);
    let album = read(
        r#"album = "Tables"
ruler = "1/16 in"
[[leaf]]
name = "leaf"
bag = "bag"
insert = [
  { name = "ticket", place = "lappet", size = "2 x 3/4 in" },
  { name = "stub", place = "inner", size = "1 x 1/2 in" },
]
[[bag]]
name = "bag"
size = "5 x 10 in"
bottom = "pinch"
"#,
    );
    let plan = plan(&style, &album);
    let frame = &plan.frames[0];
    let area = |name: &str| frame.part(name).unwrap_or_else(|| panic!("{name}")).area;
    for (inner, outer) in [
        ("lappet", "front_mat"),
        ("lappet_slot", "lappet"),
        ("inner_slot", "lappet_slot"),
        ("ticket", "lappet_slot"),
        ("stub", "inner_slot"),
    ] {
        let (a, b) = (area(inner), area(outer));
        let across = b.left <= a.left && a.right <= b.right;
        assert!(
            across && b.low <= a.low && a.high <= b.high,
            "{inner} {a:?} in {outer} {b:?}"
        );
    }
    // The mat is hidden by the lappet, and the lappet by nothing.
    let mat = frame.part("front_mat").expect("a mat");
    assert!(mat.behind.contains(&area("lappet")));
    assert!(frame.part("lappet").expect("a lappet").behind.is_empty());
}
