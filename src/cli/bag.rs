//! A bag's measures as they are typed, made into an album of one leaf.

use super::Source;
use super::typed::{BAGS, HOLES, OptionError, Typed};
use crate::album::{Album, quick};
use crate::length::{Interval, Length, Ruler, Sides, Unit, parse_ratio, parse_sides, written_unit};
use crate::supplies::Bottom;
use crate::text::Problem;

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
fn deep(bag: &str, [width, gusset, height]: [Interval; 3]) -> Option<OptionError> {
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
    Some(OptionError::DeepGusset { than, meant })
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
        let place = folded.place;
        typed.faults.tell(place, OptionError::FoldedHigh);
    }
    let pocket = typed.length("--pocket", &source.pocket, BAGS);
    let pocket_depth = typed.length("--pocket-depth", &source.pocket_depth, BAGS);
    if let (Some(depth), None) = (&pocket_depth, &source.pocket) {
        let place = depth.place;
        typed.faults.tell(place, OptionError::DepthAlone);
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
    let place = said.place;
    let gusset = sides.is_some_and(|sides| sides.gusset.is_some());
    let fault = match (said.value.trim(), gusset) {
        ("pinch", false) => return Some(Bottom::Pinch),
        ("block", true) => return Some(Bottom::Block),
        ("pinch", true) => OptionError::PinchGusset.at(place),
        ("block", false) => OptionError::BlockFlat.at(place),
        _ => {
            let written = said.value;
            OptionError::Bottom { written }.at(place)
        }
    };
    // Without measures it is not known what it goes with.
    if sides.is_some() || matches!(fault.what, OptionError::Bottom { .. }) {
        typed.faults.add(fault);
    }
    None
}

fn shape(typed: &mut Typed, text: &str) -> Option<(i64, i64)> {
    let said = typed.said("--photo-shape", text);
    let ratio = typed.read(&said, parse_ratio(text))?;
    if *ratio.numer() == 0 || !text.contains(':') {
        let (place, written) = (said.place, said.value);
        typed.faults.tell(place, OptionError::Shape { written });
        return None;
    }
    Some((*ratio.numer(), *ratio.denom()))
}
