//! A photo on its mat, with its four borders.

use super::figure::Projection;
use super::list::{Area, Ink, Line, Page};
use super::paper::MM;
use super::pieces::drawn;
use super::ruler;
use super::view::titled;
use crate::length::{Interval, Ruler};
use crate::plan::{InsertPlan, LeafPlan, Plan};
use crate::report::handout::said::{self as words, capital, plain};

/// Every insert with a photo, no wider and no higher than so much (nanometres).
pub fn figures(plan: &Plan, wide: i64, high: i64) -> Vec<Page> {
    let each = plan.leaves.iter().flat_map(|leaf| {
        let inserts = leaf.inserts.iter();
        inserts.filter_map(move |insert| draw(plan, leaf, insert, wide, high))
    });
    each.collect()
}

/// A few of them in one picture, to stand beside words.
pub fn beside(plan: &Plan) -> Page {
    let mut all = Page::figure("Photos on their mats", "");
    let mut x = 0;
    let mut about = Vec::new();
    for figure in figures(plan, 26 * MM, 36 * MM) {
        all.put(&figure, x, 0);
        x += figure.width.nm() + 4 * MM;
        about.push(figure.about);
    }
    all.about = about.join(" ");
    all.tagged.clear();
    all.trimmed(0)
}

fn draw(plan: &Plan, leaf: &LeafPlan, insert: &InsertPlan, wide: i64, high: i64) -> Option<Page> {
    let photo = insert.photo.as_ref()?;
    let (width, height) = (drawn(insert.width.value), drawn(insert.height.value));
    let (inner_width, inner_height) = (drawn(photo.width.value), drawn(photo.height.value));
    let above = drawn(photo.border_above);
    let scale = match i128::from(wide) * i128::from(height) <= i128::from(high) * i128::from(width)
    {
        true => (wide, width.max(1)),
        false => (high, height.max(1)),
    };
    let on = Projection {
        scale,
        ..Projection::of(crate::plan::frames::Bound::No, false)
    };
    let scaled = |length: i64| on.scaled(length);
    let title = format!("{}: {}", capital(&leaf.name), plain(&insert.name));
    let mat = Area::sized(0, 0, scaled(width), scaled(height));
    let left = (width - inner_width) / 2;
    let inner = Area {
        left: scaled(left),
        right: scaled(left + inner_width),
        top: scaled(above),
        bottom: scaled(above + inner_height),
    };
    let told = |value: Interval| short(plan.ruler, value);
    let size = words::spelled(&words::sized(
        plan.ruler,
        photo.width.value,
        photo.height.value,
    ));
    let whole = words::spelled(&words::sized(
        plan.ruler,
        insert.width.value,
        insert.height.value,
    ));
    let [side, top, below] = [photo.border_side, photo.border_above, photo.border_below];
    let about = format!(
        "A photo of {size} on a mat of {whole}: {} above, {} at each side, {} below.",
        told(top),
        told(side),
        told(below)
    );
    let mut page = Page::figure(&title, &about);
    let name = format!("{}: {}", leaf.name, insert.name);
    page.rect(&format!("{name}, mat"), mat, Line::Edge, Some(Ink::White));
    page.rect(
        &format!("{name}, photo"),
        inner,
        Line::Edge,
        Some(Ink::Pale),
    );
    let bold = |text: &str| (super::font::Face::Bold, text.to_owned());
    let plainly = |text: &str| (super::font::Face::Regular, text.to_owned());
    let ways = [vec![plainly("photo"), bold(&size)], vec![bold(&size)]];
    let found = ways.iter().find_map(|way| {
        let level = ruler::inside(&page, inner, way, (false, false), &|_| 0);
        level.or_else(|| ruler::inside(&page, inner, way, (true, false), &|_| 0))
    });
    for text in found.into_iter().flat_map(|(_, texts)| texts) {
        page.text(text);
    }
    let x = mat.right + 3 * MM;
    for (from, to, value) in [(mat.top, inner.top, top), (inner.bottom, mat.bottom, below)] {
        if to - from > MM / 4 {
            ruler::span(&mut page, (x, from), (x, to), &told(value));
        }
    }
    let y = mat.bottom + 3 * MM;
    if inner.left > MM / 4 {
        for (from, to) in [(mat.left, inner.left), (inner.right, mat.right)] {
            ruler::span(&mut page, (from, y), (to, y), "");
        }
        let said = format!("{} each side", told(side));
        ruler::under(&mut page, &said, (mat.left, mat.left + 40 * MM), y + MM);
    }
    Some(titled(page, &format!("{title}, {whole}")))
}

fn short(ruler: Ruler, value: Interval) -> String {
    words::spelled(&ruler::bare(ruler, &words::length(ruler, value)))
}
