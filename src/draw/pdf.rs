//! Pages as one PDF: true to scale, fonts embedded, real text, title and language set, tagged so that it can
//! be read aloud.
//!
//! Lengths become points (1/72 in) in single floats here; at 1 m that is exact to 0.1 µm.

use super::font::{self, Face};
use super::list::{Anchor, Document, Ink, Mark, Page, Point, Role, Shape, Stroke, Tagged, Text};
use crate::length::Length;
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::geom::{self, PathBuilder, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineCap, LineJoin, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ContentTag, Identifier, ListNumbering, SpanTag, TableHeaderScope, Tag, TagGroup,
    TagKind, TagTree,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use std::num::NonZeroU16;
use std::ops::Range;

/// Why a document could not be written: defects of this program, or a page without a size.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PdfError {
    #[error("the font could not be read")]
    Font,
    #[error("page {0} has no size")]
    Size(usize),
    #[error("the document could not be put together: {0}")]
    Writer(String),
    #[error("the wish that it be printed at its own size could not be written")]
    Scaling,
}

/// The bytes of a PDF; viewers are asked not to scale it (ISO 32000-1, 12.2: `PrintScaling`).
///
/// # Errors
/// See [`PdfError`].
pub fn file(document: &Document) -> Result<Vec<u8>, PdfError> {
    let mut pdf = krilla::Document::new();
    let said = Metadata::new()
        .title(document.title.clone())
        .language(document.language.to_owned())
        .creator(env!("CARGO_PKG_NAME").to_owned());
    pdf.set_metadata(said);
    pdf.set_outline(bookmarks(document));
    let load = |face| Font::new(font::bytes(face).to_vec().into(), 0).ok_or(PdfError::Font);
    let fonts = Fonts {
        regular: load(Face::Regular)?,
        bold: load(Face::Bold)?,
    };
    let mut tree = TagTree::new().with_lang(Some(document.language.to_owned()));
    let mut told = Told::default();
    for (n, page) in document.pages.iter().enumerate() {
        let settings = PageSettings::from_wh(points(page.width.nm()), points(page.height.nm()))
            .ok_or(PdfError::Size(n + 1))?;
        let mut sheet = pdf.start_page_with(settings);
        let mut surface = sheet.surface();
        let mut parts: Vec<&Tagged> = page.tagged.iter().collect();
        parts.sort_by_key(|part| part.from);
        let mut at = 0;
        for part in parts {
            // What is in two parts is read once.
            if part.from < at {
                continue;
            }
            quiet(&mut surface, page, at..part.from, &fonts);
            let id = surface.start_tagged(match &part.role {
                Role::Figure(_) => ContentTag::Other,
                _ => ContentTag::Span(SpanTag::empty()),
            });
            draw(&mut surface, page, part.from..part.to, &fonts);
            surface.end_tagged();
            told.add(&mut tree, part, id);
            at = part.to;
        }
        quiet(&mut surface, page, at..page.marks.len(), &fonts);
        surface.finish();
        for (area, to) in &page.links {
            let place = |nm: i64| points(nm);
            let rect = geom::Rect::from_ltrb(
                place(area.left),
                place(area.top),
                place(area.right),
                place(area.bottom),
            );
            let Some(rect) = rect.filter(|_| *to < document.pages.len()) else {
                continue;
            };
            let top = XyzDestination::new(*to, geom::Point::from_xy(0.0, 0.0));
            let link = LinkAnnotation::new(rect, Target::Destination(top.into()));
            let words = format!("page {}", to + 1);
            let id = sheet.add_tagged_annotation(Annotation::new_link(link, Some(words)));
            told.close(&mut tree);
            tree.push(TagGroup::with_children(Tag::Link, vec![id.into()]));
        }
        sheet.finish();
    }
    told.close(&mut tree);
    pdf.set_tag_tree(tree);
    let bytes = pdf
        .finish()
        .map_err(|e| PdfError::Writer(format!("{e:?}")))?;
    unscaled(bytes).ok_or(PdfError::Scaling)
}

/// A bookmark for everything that begins on a page.
fn bookmarks(document: &Document) -> Outline {
    let mut outline = Outline::new();
    for (n, page) in document.pages.iter().enumerate() {
        let titles = page.title.split("; ");
        for title in titles.filter(|it| !it.ends_with(", continued")) {
            let place = XyzDestination::new(n, geom::Point::from_xy(0.0, 0.0));
            outline.push_child(OutlineNode::new(title.to_owned(), place));
        }
    }
    outline
}

/// What is read aloud, while it is put together: a text of several lines, the items of a list and the
/// rows of a table belong together.
#[derive(Default)]
struct Told {
    /// A heading or a text with its lines.
    text: Option<TagGroup>,
    items: Vec<Vec<Identifier>>,
    rows: Vec<TagGroup>,
}

impl Told {
    fn add(&mut self, tree: &mut TagTree, part: &Tagged, id: Identifier) {
        let one = |tag: TagKind| TagGroup::with_children(tag, vec![id.into()]);
        match &part.role {
            Role::Item => {
                if let (true, Some(last)) = (part.same, self.items.last_mut()) {
                    last.push(id);
                    return;
                }
                if self.items.is_empty() {
                    self.close(tree);
                }
                self.items.push(vec![id]);
            }
            Role::Cell { first, head } => {
                if self.rows.is_empty() {
                    self.close(tree);
                }
                let cell = match head {
                    true => one(Tag::TH(TableHeaderScope::Column).into()),
                    false => one(Tag::TD.into()),
                };
                match self.rows.last_mut() {
                    Some(row) if !first => row.push(cell),
                    _ => self
                        .rows
                        .push(TagGroup::with_children(Tag::TR, vec![cell.into()])),
                }
            }
            Role::Figure(about) => {
                self.close(tree);
                tree.push(one(Tag::Figure(Some(about.clone())).into()));
            }
            Role::Heading(_) | Role::Text => {
                if let (true, Some(text)) = (part.same, &mut self.text) {
                    text.push(id);
                    return;
                }
                self.close(tree);
                self.text = Some(match &part.role {
                    Role::Heading(level) => {
                        let level = NonZeroU16::new(u16::from(*level)).unwrap_or(NonZeroU16::MIN);
                        one(Tag::Hn(level, None).into())
                    }
                    _ => one(Tag::P.into()),
                });
            }
        }
    }

    /// Whatever comes next belongs to none of these.
    fn close(&mut self, tree: &mut TagTree) {
        if let Some(text) = self.text.take() {
            tree.push(text);
        }
        if !self.items.is_empty() {
            let items = std::mem::take(&mut self.items).into_iter();
            let items = items.map(|lines| {
                let lines = lines.into_iter().map(Into::into).collect();
                let body = TagGroup::with_children(Tag::LBody, lines);
                TagGroup::with_children(Tag::LI, vec![body.into()]).into()
            });
            let items = items.collect();
            tree.push(TagGroup::with_children(Tag::L(ListNumbering::None), items));
        }
        if !self.rows.is_empty() {
            let rows = std::mem::take(&mut self.rows).into_iter();
            let rows = rows.map(Into::into).collect();
            tree.push(TagGroup::with_children(Tag::Table, rows));
        }
    }
}

/// Draws what is only to be looked at: lines, page numbers.
fn quiet(surface: &mut Surface<'_>, page: &Page, which: Range<usize>, fonts: &Fonts) {
    if !which.is_empty() {
        surface.start_tagged(ContentTag::Artifact(Artifact::default()));
        draw(surface, page, which, fonts);
        surface.end_tagged();
    }
}

struct Fonts {
    regular: Font,
    bold: Font,
}

/// Nanometres as points.
fn points(nm: i64) -> f32 {
    (nm as f64 * 72.0 / Length::INCH.nm() as f64) as f32
}

fn place(point: Point) -> (f32, f32) {
    (points(point.x.nm()), points(point.y.nm()))
}

fn colour(ink: Ink) -> krilla::paint::Paint {
    let [r, g, b] = ink.rgb();
    rgb::Color::new(r, g, b).into()
}

fn fill(ink: Ink) -> Fill {
    Fill {
        paint: colour(ink),
        opacity: NormalizedF32::ONE,
        rule: Default::default(),
    }
}

fn stroke(stroke: Stroke, phase: i64) -> krilla::paint::Stroke {
    let dashes = stroke.line.dashes();
    let array: Vec<f32> = dashes.iter().map(|d| points(*d)).collect();
    krilla::paint::Stroke {
        paint: colour(stroke.ink),
        width: points(stroke.line.width()),
        miter_limit: 4.0,
        line_cap: LineCap::Butt,
        line_join: LineJoin::Miter,
        opacity: NormalizedF32::ONE,
        dash: (!array.is_empty()).then_some(StrokeDash {
            array,
            offset: points(phase),
        }),
    }
}

fn draw(surface: &mut Surface<'_>, page: &Page, which: Range<usize>, fonts: &Fonts) {
    for Mark { shape, .. } in page.marks.get(which).unwrap_or_default() {
        let (line, ground) = match shape {
            Shape::Path { stroke, fill, .. } | Shape::Circle { stroke, fill, .. } => {
                (*stroke, *fill)
            }
            Shape::Text(text) => {
                words(surface, text, fonts);
                continue;
            }
        };
        let Some(path) = outline(shape) else { continue };
        surface.set_fill(ground.map(fill));
        let phase = |line: Stroke| match shape {
            Shape::Path { points, .. } => line.line.phase(points),
            _ => 0,
        };
        surface.set_stroke(line.map(|line| stroke(line, phase(line))));
        surface.draw_path(&path);
    }
}

fn outline(shape: &Shape) -> Option<geom::Path> {
    let mut path = PathBuilder::new();
    match shape {
        Shape::Path { points, closed, .. } => {
            for (n, point) in points.iter().enumerate() {
                let (x, y) = place(*point);
                match n {
                    0 => path.move_to(x, y),
                    _ => path.line_to(x, y),
                }
            }
            if *closed {
                path.close();
            }
        }
        Shape::Circle { centre, radius, .. } => {
            // Four cubic curves; they leave the circle by less than 0.03 % of its radius.
            let ((x, y), r) = (place(*centre), points(radius.nm()));
            let k = r * 0.552_284_8;
            path.move_to(x + r, y);
            path.cubic_to(x + r, y + k, x + k, y + r, x, y + r);
            path.cubic_to(x - k, y + r, x - r, y + k, x - r, y);
            path.cubic_to(x - r, y - k, x - k, y - r, x, y - r);
            path.cubic_to(x + k, y - r, x + r, y - k, x + r, y);
            path.close();
        }
        Shape::Text(_) => return None,
    }
    path.finish()
}

fn words(surface: &mut Surface<'_>, text: &Text, fonts: &Fonts) {
    let size = points(text.size.nm());
    let units = font::units(text.face) as f32;
    let mut glyphs = Vec::with_capacity(text.words.len());
    for (start, letter) in text.words.char_indices() {
        let (id, advance) = font::glyph(text.face, letter);
        let range = start..start + letter.len_utf8();
        let advance = advance as f32 / units;
        let id = GlyphId::new(u32::from(id));
        glyphs.push(KrillaGlyph::new(id, advance, 0.0, 0.0, 0.0, range, None));
    }
    let width = font::extent(text.face, text.size, &text.words).width;
    let start = match text.anchor {
        Anchor::Start => 0,
        Anchor::Middle => -width / 2,
        Anchor::End => -width,
    };
    let (x, y) = place(text.at);
    let face = match text.face {
        Face::Regular => &fonts.regular,
        Face::Bold => &fonts.bold,
    };
    // Quarter turns only, so that numbers stay exact.
    let move_ = match text.turned {
        false => Transform::from_row(1.0, 0.0, 0.0, 1.0, x, y),
        true => Transform::from_row(0.0, -1.0, 1.0, 0.0, x, y),
    };
    surface.set_fill(Some(fill(text.ink)));
    surface.set_stroke(None);
    surface.push_transform(&move_);
    surface.draw_glyphs(
        geom::Point::from_xy(points(start), 0.0),
        &glyphs,
        face.clone(),
        &text.words,
        size,
        false,
    );
    surface.pop();
}

/// Adds the viewer's preferences to the catalog, as an update at the end of the file (ISO 32000-1,
/// 7.5.6): the writer cannot say them. `None` if the file is not as that writer makes it.
fn unscaled(mut pdf: Vec<u8>) -> Option<Vec<u8>> {
    let tail = last(&pdf, b"trailer")?;
    let end = last(&pdf, b"startxref")?;
    let table: usize = number(&pdf[end + b"startxref".len()..])?;
    let trailer = std::str::from_utf8(pdf.get(tail + b"trailer".len()..end)?).ok()?;
    let trailer = trailer.trim().strip_suffix(">>")?.trim_end().to_owned();
    let root: usize = number(trailer.split_once("/Root")?.1.as_bytes())?;
    // The table: `xref`, `0 n`, and 20 bytes for each object.
    let entries = find(&pdf[table..], b"xref")? + table + b"xref".len();
    let first = entries + pdf[entries..].iter().position(|b| *b == b'0')?;
    let entry = first + pdf[first..].iter().position(|b| *b == b'\n')? + 1 + 20 * root;
    let from: usize = number(pdf.get(entry..entry + 10)?)?;
    let upto = from + find(pdf.get(from..)?, b"endobj")?;
    let catalog = std::str::from_utf8(pdf.get(from..upto)?).ok()?;
    if !catalog.contains("/Catalog") || catalog.contains("/ViewerPreferences") {
        return None;
    }
    let catalog = catalog.trim_end().strip_suffix(">>")?.to_owned();
    if pdf.last() != Some(&b'\n') {
        pdf.push(b'\n');
    }
    let start = pdf.len();
    let object = format!(
        "{catalog}\n  /ViewerPreferences << /PrintScaling /None /DisplayDocTitle true >>\n>>\nendobj\n"
    );
    let again = start + object.len();
    let update = format!(
        "{object}xref\n{root} 1\n{start:010} 00000 n\r\ntrailer\n{trailer}\n  /Prev {table}\n>>\nstartxref\n{again}\n%%EOF\n"
    );
    pdf.extend_from_slice(update.as_bytes());
    Some(pdf)
}

/// The number at the head of some bytes, after white space.
fn number(bytes: &[u8]) -> Option<usize> {
    let text: String = bytes
        .iter()
        .skip_while(|b| b.is_ascii_whitespace())
        .take_while(|b| b.is_ascii_digit())
        .map(|b| char::from(*b))
        .collect();
    text.parse().ok()
}

fn find(bytes: &[u8], wanted: &[u8]) -> Option<usize> {
    bytes.windows(wanted.len()).position(|w| w == wanted)
}

fn last(bytes: &[u8], wanted: &[u8]) -> Option<usize> {
    bytes.windows(wanted.len()).rposition(|w| w == wanted)
}

#[cfg(test)]
mod tests {
    use super::super::list::{Line, at};
    use super::*;

    fn one_page() -> Document {
        let mut page = Page::new(
            Length::from_nm(210_000_000),
            Length::from_nm(297_000_000),
            "p",
            "",
        );
        page.line(
            at(10_000_000, 10_000_000),
            at(110_000_000, 10_000_000),
            Line::Edge,
        );
        page.text(Text {
            at: at(10_000_000, 20_000_000),
            words: "4\u{202f}3⁄16\u{a0}in".to_owned(),
            size: Length::from_nm(4_000_000),
            face: Face::Regular,
            anchor: Anchor::Start,
            turned: false,
            ink: Ink::Black,
        });
        Document {
            title: "T".to_owned(),
            language: "en",
            pages: vec![page],
        }
    }

    #[test]
    fn viewers_are_asked_not_to_scale() {
        let bytes = file(&one_page()).expect("it is written");
        let text = String::from_utf8_lossy(&bytes);
        assert!(text.contains("/PrintScaling /None"));
        assert!(text.contains("/Prev "));
        // Each table is where the file says that it is.
        for (at, _) in text.match_indices("startxref") {
            let place = number(&text.as_bytes()[at + 9..]).expect("a number");
            let found = find(&bytes[place..], b"xref").expect("a table");
            assert!(found <= 1, "{found}");
        }
        assert_eq!(bytes, file(&one_page()).expect("again"));
    }

    #[test]
    fn a_page_without_a_size_is_refused() {
        let mut document = one_page();
        document.pages[0].width = Length::ZERO;
        assert_eq!(file(&document), Err(PdfError::Size(1)));
    }
}
