//! Sizes read back from the geometry of SVG files are those of the plan.

use crate::{PAPERS, SHIPPED, document, shipped, with_parts};
use std::collections::BTreeMap;
use tuckwright::draw::handout::Part;
use tuckwright::draw::paper::Paper;
use tuckwright::draw::{svg, view};
use tuckwright::length::Interval;
use tuckwright::plan::Plan;

/// Left, top, right, bottom (nanometres).
pub(crate) type Bounds = (i64, i64, i64, i64);

/// Millimetres with decimals, as nanometres: exact.
fn nm(text: &str) -> i64 {
    let (sign, text) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text),
    };
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    assert!(part.len() <= 6, "{text} is finer than a nanometre");
    sign * format!("{whole}{part:0<6}").parse::<i64>().unwrap()
}

fn attribute<'s>(element: &'s str, name: &str) -> Option<&'s str> {
    let start = element.find(&format!(" {name}=\""))? + name.len() + 3;
    Some(&element[start..start + element[start..].find('"')?])
}

/// Everything with a name in an SVG file, and what it takes up.
pub(crate) fn named(svg: &str) -> BTreeMap<String, Bounds> {
    let mut all: BTreeMap<String, Bounds> = BTreeMap::new();
    for element in svg.lines() {
        let Some(name) = attribute(element, "data-name") else {
            continue;
        };
        let points: Vec<(i64, i64)> = match attribute(element, "d") {
            Some(d) => d
                .trim_end_matches('Z')
                .split(['M', 'L'])
                .filter(|p| !p.is_empty())
                .map(|p| p.split_once(' ').unwrap())
                .map(|(x, y)| (nm(x), nm(y)))
                .collect(),
            None => {
                let of = |name| nm(attribute(element, name).unwrap());
                let (x, y, r) = (of("cx"), of("cy"), of("r"));
                vec![(x - r, y - r), (x + r, y + r)]
            }
        };
        for (x, y) in points {
            let one = all.entry(name.to_owned()).or_insert((x, y, x, y));
            *one = (one.0.min(x), one.1.min(y), one.2.max(x), one.3.max(y));
        }
    }
    all
}

fn middle(value: Interval) -> i64 {
    value.middle().nm()
}

/// Width and height of every piece, by the name that it is drawn with.
fn pieces(plan: &Plan) -> BTreeMap<String, (i64, i64)> {
    let mut all = BTreeMap::new();
    for leaf in &plan.leaves {
        for part in &leaf.parts {
            let size = (middle(part.width.value), middle(part.height.value));
            all.insert(format!("{}: {}", leaf.name, part.label), size);
        }
        for insert in &leaf.inserts {
            let name = format!("{}: {}", leaf.name, insert.name);
            let size = (middle(insert.width.value), middle(insert.height.value));
            all.insert(name.clone(), size);
            if let Some(photo) = &insert.photo {
                let size = (middle(photo.width.value), middle(photo.height.value));
                all.insert(format!("{name}.photo"), size);
            }
        }
    }
    all
}

fn holes(plan: &Plan, template: &str, drawn: &BTreeMap<String, Bounds>) {
    let strip = drawn[template];
    for (n, height) in plan.holes.heights.iter().enumerate() {
        let hole = drawn[&format!("{template}: hole {}", n + 1)];
        let across = middle(plan.holes.diameter);
        assert_eq!((hole.2 - hole.0, hole.3 - hole.1), (across, across));
        assert_eq!(hole.0 + across / 2 - strip.0, middle(plan.holes.edge));
        assert_eq!(strip.3 - (hole.1 + across / 2), middle(*height));
    }
}

#[test]
fn true_scale_pages_hold_the_plan() {
    for name in SHIPPED {
        for paper in PAPERS {
            let parts = [Part::Template, Part::Outlines];
            let (plan, document) = with_parts(paper, &shipped(name), Some(&parts));
            let pieces = pieces(&plan);
            let (mut seen, mut templates) = (0, 0);
            for page in &document.pages {
                let drawn = named(&svg::file(page));
                let bar = |name: &str| {
                    let bar = drawn[name];
                    (bar.2 - bar.0).max(bar.3 - bar.1)
                };
                assert_eq!(bar("bar 100 mm"), 100_000_000);
                assert_eq!(bar("bar 4 in"), 101_600_000);
                if page.title.starts_with("Template") {
                    templates += 1;
                    let template = drawn
                        .keys()
                        .find(|name| name.starts_with("template: ") && !name.contains("hole"))
                        .unwrap();
                    // It ends 3/4 in above its highest hole.
                    let top = plan
                        .holes
                        .heights
                        .iter()
                        .map(|up| middle(*up))
                        .max()
                        .unwrap();
                    let strip = drawn[template];
                    assert_eq!(strip.3 - strip.1, top + 19_050_000);
                    holes(&plan, template, &drawn);
                    continue;
                }
                assert!(page.title.starts_with("Outline"), "{}", page.title);
                if !page.title.starts_with("Outlines at true scale") {
                    continue;
                }
                for (name, b) in drawn.iter().filter(|(name, _)| !name.starts_with("bar")) {
                    let (width, height) = pieces[name];
                    let size = (b.2 - b.0, b.3 - b.1);
                    assert!(
                        size == (width, height) || size == (height, width),
                        "{name}: {size:?}"
                    );
                    seen += 1;
                }
            }
            assert!(seen > 5, "{name}: {seen} outlines");
            assert_eq!(templates, 1, "one template serves all leaves");
        }
    }
}

/// `1 : 2.5` as drawn and true.
fn scale(svg: &str) -> Option<(i64, i64)> {
    let rest = &svg[svg.find("Scale 1 : ")? + "Scale 1 : ".len()..];
    let end = rest.find(".<")?;
    let (whole, part) = rest[..end].split_once('.').unwrap_or((&rest[..end], "0"));
    let hundredths: i64 = format!("{part:0<2}").parse().ok()?;
    Some((100, whole.parse::<i64>().ok()? * 100 + hundredths))
}

#[test]
fn drawings_to_scale_hold_the_plan() {
    for name in SHIPPED {
        for high in [70, 120, 250] {
            let (plan, _) = document(Paper::A4, &shipped(name));
            let mut sizes = pieces(&plan);
            for leaf in &plan.leaves {
                let size = (middle(leaf.width), middle(leaf.height));
                sizes.insert(format!("{}: leaf", leaf.name), size);
            }
            let mut seen = 0;
            let sides = plan.frames.iter();
            let sides =
                sides.flat_map(|it| view::Sides::new(&plan, it, 185_000_000).at(high * 1_000_000));
            for page in sides {
                let svg = svg::file(&page);
                let (drawn, of) = scale(&svg).expect("a scale");
                let found = named(&svg);
                let leaf = found.keys().find(|name| name.ends_with(": leaf"));
                let leaf = leaf.expect("a leaf").trim_end_matches(": leaf").to_owned();
                let whole = found[&format!("{leaf}: leaf")];
                // Rounded to the nanometre where a scale does not go into it.
                let close =
                    |a: i64, b: i64| assert!((a * of - b * drawn).abs() <= 2 * of, "{name}");
                for (name, b) in &found {
                    if let Some((width, height)) = sizes.get(name) {
                        close(b.2 - b.0, *width);
                        close(b.3 - b.1, *height);
                        seen += 1;
                    }
                }
                for (n, height) in plan.holes.heights.iter().enumerate() {
                    let hole = found[&format!("{leaf}: hole {}", n + 1)];
                    close(whole.3 - hole.1.midpoint(hole.3), middle(*height));
                    let x = hole.0.midpoint(hole.2);
                    let nearer = (x - whole.0).min(whole.2 - x);
                    close(nearer, middle(plan.holes.edge));
                }
            }
            let each: usize = plan
                .leaves
                .iter()
                .map(|l| l.parts.len() + l.inserts.len() + 2)
                .sum();
            assert_eq!(seen, each, "every piece once, every leaf on both sides");
        }
    }
}
