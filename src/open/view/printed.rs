//! A page of the printout as it is seen on a screen.

use super::drawing::class;
use crate::draw::font::{Face, extent};
use crate::draw::list::{Anchor, Ink, Page, Point, Shape};
use crate::length::Length;
use maud::{Markup, html};

/// A page, with classes in the place of colours.
pub fn paper_page(page: &Page, about: &str) -> Markup {
    // A tenth of a millimetre is one unit.
    let unit = |nm: i64| format!("{}", nm / 100_000);
    let point = |p: &Point| format!("{} {}", unit(p.x.nm()), unit(p.y.nm()));
    let ground = |ink: &Ink| match ink {
        Ink::White => "paper",
        Ink::Black | Ink::Dark => "solid",
        Ink::Light | Ink::Mid => "grey",
        _ => "bagface",
    };
    // Where it does not fill its room, a millimetre is so many pixels that its words can be read.
    let wide = page.width.nm() / Length::MM.nm() * 46 / 10;
    html! {
        svg class="print" role="img" aria-label=(about) width=(wide) viewBox=(format!("0 0 {} {}", unit(page.width.nm()), unit(page.height.nm()))) {
            @for mark in &page.marks {
                @match &mark.shape {
                    Shape::Path { points, closed, stroke, fill } => {
                        @let class = [fill.as_ref().map(&ground), stroke.map(class)];
                        @let class = class.into_iter().flatten().collect::<Vec<_>>().join(" ");
                        @let d = points.iter().enumerate().map(|(n, p)| format!("{}{}", if n == 0 { "M" } else { "L" }, point(p))).collect::<String>();
                        path class=(class) d=(format!("{d}{}", if *closed { "Z" } else { "" })) {}
                    }
                    Shape::Circle { centre, radius, .. } => {
                        circle class="edge" cx=(unit(centre.x.nm())) cy=(unit(centre.y.nm())) r=(unit(radius.nm())) {}
                    }
                    Shape::Text(text) => {
                        @let anchor = match text.anchor { Anchor::Start => "start", Anchor::Middle => "middle", Anchor::End => "end" };
                        @let (x, y) = (unit(text.at.x.nm()), unit(text.at.y.nm()));
                        @let turn = text.turned.then(|| format!("rotate(-90 {x} {y})"));
                        // As wide as it was measured, whatever letters the screen has.
                        @let wide = unit(extent(text.face, text.size, &text.words).width);
                        text x=(x) y=(y) font-size=(unit(text.size.nm())) font-weight=[(text.face == Face::Bold).then_some("700")]
                            textLength=(wide) lengthAdjust="spacingAndGlyphs" text-anchor=(anchor) transform=[turn] { (text.words) }
                    }
                }
            }
        }
    }
}
