//! The closed album, as its style reckons it. Imports what reads a solution.

use super::frames::{FramePlan, Laying};
use super::view::View;
use crate::length::Length;
use crate::style::expr::Path;
use crate::style::parts::Edge;

/// The album closed, at most, with what stands out of it.
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
    let mut of: Vec<(Option<&FramePlan>, Laying<'_>)> = leaves
        .map(|(frame, laying)| (Some(frame), laying.clone()))
        .collect();
    if of.is_empty() {
        of.push((None, Laying::of_album(view)));
    }
    let most = |side: &str, out: &[Edge]| {
        let path = Path(vec!["closed".to_owned(), side.to_owned()]);
        let one = |(frame, laying): &(Option<&FramePlan>, Laying<'_>)| {
            let value = laying.name(&path)?.interval()?.most();
            let stands_out = frame.map(FramePlan::stands_out);
            let stands_out = stands_out.unwrap_or_default();
            out.iter().try_fold(value, |sum, edge| {
                sum.checked_add(stands_out[*edge as usize])
            })
        };
        let all: Option<Vec<Length>> = of.iter().map(one).collect();
        all?.into_iter().max()
    };
    Some(Closed {
        width: most("width", &[Edge::Left, Edge::Right])?,
        height: most("height", &[Edge::Low, Edge::High])?,
        thickness: most("thickness", &[])?,
    })
}
