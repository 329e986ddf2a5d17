//! The handout as one HTML file: no scripts, drawings inline, to be read on a telephone and printed.

use super::list::Page;
use super::paper::Paper;
use super::{cutting, pieces, profile, svg, view};
use crate::album::Album;
use crate::cut::Answer;
use crate::plan::Plan;
use crate::report::handout::{Block, Bullet, Section, Table, Texts, texts};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Calm and black first; one column, as wide as is good to read; wide tables scroll by themselves.
const LOOK: &str = "
:root{color-scheme:light}
body{font:1rem/1.5 'Noto Sans',system-ui,sans-serif;color:#000;background:#fff;max-width:46rem;margin:0 auto;padding:1rem}
h1{font-size:1.6rem;line-height:1.2}
h2{font-size:1.3rem;margin-top:2.5rem;border-bottom:1px solid #000}
h3{font-size:1.05rem;margin-top:1.5rem}
ul.tick{list-style:none;padding-left:0}
ul.tick li{padding-left:1.6em;text-indent:-1.6em}
ul.tick li::before,td.tick::before{content:'\\25A1';display:inline-block;width:1.6em;text-indent:0}
.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%;font-size:.92rem}
th,td{text-align:left;vertical-align:top;padding:.3rem .6rem .3rem 0;border-bottom:1px solid #bbb}
th{border-bottom-color:#000}
.number{text-align:right}
figure{margin:1.5rem 0;break-inside:avoid}
nav li{margin:.2rem 0}
@media print{body{max-width:none;padding:0;font-size:10pt}h2,h3{break-after:avoid}tr,li{break-inside:avoid}section{break-before:page}nav{display:none}a{color:inherit;text-decoration:none}}
";

/// What is printed at true scale.
fn true_scale(plan: &Plan) -> &'static str {
    match plan.frames.iter().all(|frame| frame.marks.is_empty()) {
        true => "Outlines",
        false => "Templates and outlines",
    }
}

/// One file. `answer` is how the sheets are cut, where that is known.
pub fn file(paper: Paper, album: &Album, plan: &Plan, answer: Option<Answer<'_>>) -> String {
    let cutting = answer.map_or(Vec::new(), |answer| {
        cutting::plans(paper, plan.ruler, answer)
    });
    let Texts {
        mut before,
        map,
        after,
    } = texts(album, plan, answer);
    before.push(map);
    let mut names: Vec<String> = before.iter().map(|s| s.title.clone()).collect();
    let drawn = names.len();
    names.push(format!("The {}, side by side", pieces::kinds(plan)[1]));
    if !cutting.is_empty() {
        names.push("Cutting plans".to_owned());
    }
    names.extend(after.iter().map(|s| s.title.clone()));
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (plan.title) }
                style { (PreEscaped(LOOK)) }
            }
            body {
                header {
                    h1 { (plan.title) }
                    p {
                        (true_scale(plan))
                        " at true scale are in the printed PDF only: a browser may print at another size."
                    }
                    nav aria-label="Contents" {
                        ol {
                            @for (n, name) in names.iter().enumerate() {
                                li { a href=(format!("#part{n}")) { (name) } }
                            }
                        }
                    }
                }
                main {
                    @for (n, section) in before.iter().enumerate() {
                        (part(n, section))
                    }
                    section id=(format!("part{drawn}")) {
                        h2 { (names[drawn]) }
                        @for frame in &plan.frames {
                            @let turned = pieces::turned(plan, frame);
                            @for back in [turned, !turned] {
                                (side(&view::side(paper, plan, frame, back)))
                            }
                            @if let Some(page) = profile::page(paper, plan, frame) {
                                h3 { (page.title) }
                                (figure(&page))
                            }
                        }
                    }
                    @if !cutting.is_empty() {
                        section id=(format!("part{}", drawn + 1)) {
                            h2 { (names[drawn + 1]) }
                            @for plan in &cutting {
                                h3 { (plan.page.title) }
                                (figure(&plan.page))
                                (set(&plan.steps))
                            }
                        }
                    }
                    @for (n, section) in after.iter().enumerate() {
                        (part(names.len() - after.len() + n, section))
                    }
                }
            }
        }
    };
    page.into_string()
}

fn part(n: usize, section: &Section) -> Markup {
    html! {
        section id=(format!("part{n}")) {
            h2 { (section.title) }
            @for block in &section.blocks { (set(block)) }
        }
    }
}

fn side(side: &view::Side) -> Markup {
    html! {
        h3 { (side.page.title) }
        (figure(&side.page))
        @if !side.legend.rows.is_empty() { (table(&side.legend)) }
    }
}

fn figure(page: &Page) -> Markup {
    let drawing = svg::element(&page.cropped(), svg::Sides::Fluid);
    html! { figure { (PreEscaped(drawing)) } }
}

fn set(block: &Block) -> Markup {
    html! {
        @match block {
            Block::Heading(words) => h3 { (words) },
            Block::Text(words) => p { (words) },
            Block::List(bullet, items) => ul class=[(*bullet == Bullet::Tick).then_some("tick")] {
                @for item in items { li { (item) } }
            },
            Block::Table(rows) => (table(rows)),
        }
    }
}

fn table(table: &Table) -> Markup {
    let number = |n: &usize| table.numbers.contains(n).then_some("number");
    html! {
        div class="wide" {
            table {
                thead {
                    tr {
                        @if table.tick { th {} }
                        @for (n, head) in table.head.iter().enumerate() {
                            th scope="col" class=[number(&n)] { (head) }
                        }
                    }
                }
                tbody {
                    @for row in &table.rows {
                        tr {
                            @if table.tick { td class="tick" {} }
                            @for (n, cell) in row.iter().enumerate() {
                                td class=[number(&n)] { (cell) }
                            }
                        }
                    }
                }
            }
        }
    }
}
