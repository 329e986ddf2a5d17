//! A bag's measures as they are typed, made into an album of one leaf.

use super::Source;
use super::typed::{BAGS, HOLES, Typed};
use crate::album::{Album, quick};
use crate::length::{Interval, Length, Ruler, Sides, Unit, parse_ratio, parse_sides, written_unit};
use crate::supplies::Bottom;
use crate::text::{Wrong, meant};

/// An album of one leaf of the bag that was typed.
pub(super) fn from_bag(typed: &mut Typed, source: &Source, bag: &str) -> Option<Album> {
    let said = typed.said("--bag", bag);
    let sides = typed.read(&said, parse_sides(bag));
    if let Some(Sides {
        width,
        gusset,
        height,
    }) = sides
    {
        let mut all = [Some(width), gusset, Some(height)].into_iter().flatten();
        if all.all(|side| typed.sane("--bag", &said, side, BAGS))
            && let Some(gusset) = gusset
            && let Some(fault) = deep(bag, [width, gusset, height])
        {
            typed.faults.tell(said.place, fault);
        }
    }
    around(typed, source, bag, sides)
}

/// A gusset folds in by half at each side, so it is no deeper than the bag is wide; and a bag that stands is
/// higher than that.
fn deep(bag: &str, [width, gusset, height]: [Interval; 3]) -> Option<Wrong> {
    let high = gusset.least() > height.most();
    if !high && gusset.least() <= width.most() {
        return None;
    }
    let order = match high {
        // As shops write it.
        true => [width, height, gusset],
        false => [gusset, width, height],
    };
    let order = (order[1].least() <= order[0].most()).then_some(order);
    let meant = order.and_then(|order| shown(written_unit(bag)?, &order));
    let than = if high { "high" } else { "wide" };
    let what = format!("the gusset, in the middle, is deeper than the bag is {than}");
    let help = match meant {
        Some(bag) => format!("did you mean `--bag \"{bag}\"`? Type width x gusset x height"),
        None => "type width x gusset x height: `--bag \"5 x 3 x 8 in\"`".to_owned(),
    };
    Some(Wrong::new(what, help))
}

/// The sides of a bag as they are typed in this unit, if all are exact.
pub(super) fn shown(unit: Unit, sides: &[Interval]) -> Option<String> {
    let ruler = Ruler::new(unit.length(), unit)?;
    let exact = |side: &Interval| side.is_exact().then(|| side.least());
    let sides: Option<Vec<Length>> = sides.iter().map(exact).collect();
    Some(ruler.show_sides(&sides?))
}

/// An album of one leaf of this bag, with what else is typed of it; `written` tells the usual ruler.
pub(super) fn around(
    typed: &mut Typed,
    source: &Source,
    written: &str,
    sides: Option<Sides>,
) -> Option<Album> {
    let ruler = typed.ruler(&source.ruler, written);
    let folded = typed.length("--folded", &source.folded, BAGS);
    if let (Some(folded), Some(sides)) = (&folded, &sides)
        && folded.value.most() >= sides.height.least()
    {
        let what = "a bag that is folded up is lower than it was";
        let help = "type how high the leaf is after the fold: less than the bag's own height";
        typed.faults.tell(folded.place, Wrong::new(what, help));
    }
    let pocket = typed.length("--pocket", &source.pocket, BAGS);
    let pocket_depth = typed.length("--pocket-depth", &source.pocket_depth, BAGS);
    if let (Some(depth), None) = (&pocket_depth, &source.pocket) {
        let help = "type the height of the pocket's edge too: `--pocket \"3 in\"`";
        let wrong = Wrong::new("`--pocket-depth` needs `--pocket` beside it", help);
        typed.faults.tell(depth.place, wrong);
    }
    let bottom = bottom(typed, source, sides);
    let hole = typed.length("--hole", &source.hole, HOLES);
    let edge = typed.length("--edge", &source.edge, HOLES);
    let photo_shape = source
        .photo_shape
        .as_ref()
        .and_then(|text| shape(typed, text));
    let print = source.print.as_ref().and_then(|text| {
        let (width, height) = typed.size("--print", text)?;
        Some(("print".to_owned(), width, height))
    });
    if !typed.faults.is_empty() {
        return None;
    }
    let sides = sides?;
    let album = quick::album(quick::Quick {
        ruler: ruler?,
        width: sides.width,
        gusset: sides.gusset,
        height: sides.height,
        bottom,
        folded: folded.map(|said| said.value),
        pocket: pocket.map(|said| said.value),
        pocket_depth: pocket_depth.map(|said| said.value),
        hole: hole.map(|said| said.value),
        edge: edge.map(|said| said.value),
        photo_shape,
        print,
        set: Vec::new(),
    });
    Some(match &source.style {
        Some(style) => album.of_kind(typed.said("--style", style)),
        None => album,
    })
}

/// What is typed of the bag's bottom; told if the bag's measures do not go with it.
fn bottom(typed: &mut Typed, source: &Source, sides: Option<Sides>) -> Option<Bottom> {
    let said = typed.said("--bottom", source.bottom.as_ref()?);
    // Without measures it is not known what it goes with.
    let gusset = sides.map(|sides| sides.gusset.is_some());
    let wrong = match (said.value.trim(), gusset) {
        ("pinch", Some(false)) => return Some(Bottom::Pinch),
        ("block", Some(true)) => return Some(Bottom::Block),
        ("pinch" | "block", None) => return None,
        ("pinch", Some(true)) => Wrong::new(
            "a bag with a pinch bottom has no gusset at its sides",
            "type `--bottom block`, or leave the gusset out of `--bag`",
        ),
        ("block", Some(false)) => Wrong::new(
            "a bag with a block bottom has a gusset at its sides",
            "measure how deep its side is when the bag is open, and type it in the middle: `--bag \"5 x 3 x 8 in\"`",
        ),
        _ => Wrong::new(
            format!("there is no kind of bottom `{}`", said.value),
            meant(&said.value, ["block", "pinch"]),
        ),
    };
    typed.faults.tell(said.place, wrong);
    None
}

fn shape(typed: &mut Typed, text: &str) -> Option<(i64, i64)> {
    let said = typed.said("--photo-shape", text);
    let ratio = typed.read(&said, parse_ratio(text))?;
    if *ratio.numer() == 0 || !text.contains(':') {
        let what = format!("`{text}` is not the shape of a photo");
        let wrong = Wrong::new(what, "type two sides, like `--photo-shape 2:3`");
        typed.faults.tell(said.place, wrong);
        return None;
    }
    Some((*ratio.numer(), *ratio.denom()))
}
