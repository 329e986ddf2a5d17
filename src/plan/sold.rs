//! Photos as large as their prints are sold. A photo is found in whole steps of the ruler, and a print of 6 in has
//! 15.24 cm: nobody cuts 0.4 mm off. Where less than a step is missing and every rule still holds, as its text is
//! evaluated in fractions, the photo has its print's own size.

use super::Parts;
use super::value::{Finished, Sold};
use super::verify::verify;
use crate::program::model::ChoiceKey;
use crate::scene::Fact;

/// The sizes of photos that are those of their prints; `finished` has none of them yet.
pub fn sold(parts: Parts<'_>, finished: Finished<'_>) -> Sold {
    let choices = parts.expanded.model.choices.iter();
    let each = choices.map(|(choice, _)| of_photo(parts, finished, choice));
    let each: Vec<Sold> = each.filter(|sides| !sides.is_empty()).collect();
    let holds =
        |sold: &Sold| verify(parts.style, parts.expanded, Finished { sold, ..finished }).is_ok();
    let all: Sold = each
        .iter()
        .flatten()
        .map(|(id, sold)| (*id, *sold))
        .collect();
    if all.is_empty() || holds(&all) {
        return all;
    }
    // Both sides of a photo, or one of them.
    let one =
        |sides: &Sold| Vec::from_iter(sides.iter().map(|(id, sold)| Sold::from([(*id, *sold)])));
    let tried = each
        .into_iter()
        .flat_map(|sides| [one(&sides), vec![sides]].concat().into_iter().rev());
    tried.fold(Sold::new(), |some, sides| {
        let more: Sold = some
            .iter()
            .chain(&sides)
            .map(|(id, sold)| (*id, *sold))
            .collect();
        if holds(&more) { more } else { some }
    })
}

/// The sides of a photo of which less than a step is missing to those of its print.
fn of_photo(parts: Parts<'_>, finished: Finished<'_>, choice: &ChoiceKey) -> Sold {
    let (model, ruler) = (&parts.expanded.model, parts.expanded.ruler);
    let Some(item) = finished.item(model, choice) else {
        return Sold::new();
    };
    let side = |side: &str| {
        let id = *model.unknowns.get(&(choice.0, side.to_owned()))?;
        let Fact::Length(given) = model.column(item, side)? else {
            return None;
        };
        let sold = Some(model.interval(*given))
            .filter(|it| it.is_exact())?
            .least();
        let missing = sold.nm() - finished.length(ruler, id)?.nm();
        (0 < missing && missing < ruler.step().nm()).then_some((id, sold))
    };
    ["width", "height"].into_iter().filter_map(side).collect()
}
