//! The closed album and its rings, as its style reckons them. Imports what reads a solution.

use super::frames::{FramePlan, Laying};
use super::view::View;
use crate::length::Length;
use crate::style::expr::Path;
use num_traits::ToPrimitive;

/// The album closed, at most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Closed {
    pub width: Length,
    pub height: Length,
    pub thickness: Length,
}

/// The largest over all kinds of leaf, or that of an album without leaves. `None` if the style does not say
/// it, or where numbers are beyond any album.
pub(super) fn closed(view: View<'_>, frames: &[(FramePlan, Laying<'_>)]) -> Option<Closed> {
    let leaves = frames.iter().filter(|(frame, _)| frame.leaf.is_some());
    let mut of: Vec<Laying<'_>> = leaves.map(|(_, laying)| laying.clone()).collect();
    if of.is_empty() {
        of.push(Laying::of_album(view));
    }
    let most = |side: &str| {
        let path = Path(vec!["closed".to_owned(), side.to_owned()]);
        let one = |laying: &Laying<'_>| Some(laying.name(&path)?.interval()?.most());
        let all: Option<Vec<Length>> = of.iter().map(one).collect();
        all?.into_iter().max()
    };
    Some(Closed {
        width: most("width")?,
        height: most("height")?,
        thickness: most("thickness")?,
    })
}

/// How many rings the style says that there are.
pub(super) fn rings(view: View<'_>) -> Option<usize> {
    let count = Path(vec!["ring".to_owned(), "count".to_owned()]);
    let count = Laying::of_album(view).name(&count)?;
    count.middle.to_integer().to_usize()
}
