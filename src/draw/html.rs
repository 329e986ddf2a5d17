//! The handout as one HTML file: no scripts, drawings inline, to be read on a telephone and printed.

use super::flow::Item;
use super::handout::{self, Ask};
use super::list::Page;
use super::paper::MM;
use super::svg;
use crate::plan::Plan;
use crate::report::handout::{Block, Bullet, Table};
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
figure{margin:1rem 0;max-width:100%;overflow-x:auto;break-inside:avoid}
.row,.beside,.columns{display:flex;flex-wrap:wrap;gap:0 1.5rem;align-items:flex-start}
.beside{break-inside:avoid}
.beside>div,.columns>div{flex:1 1 16rem}
nav li{margin:.2rem 0}
@media print{body{max-width:none;padding:0;font-size:10pt}h2,h3{break-after:avoid}tr,li{break-inside:avoid}nav{display:none}a{color:inherit;text-decoration:none}}
";

/// What is printed at true scale.
fn true_scale(plan: &Plan) -> Option<String> {
    let holes = plan.frames.iter().any(|frame| !frame.marks.is_empty());
    holes.then(|| {
        "The template at true scale is in the printed PDF only: a browser may print at another size."
            .to_owned()
    })
}

/// How wide a page is that drawings are made for: a telephone shows two thirds of the half of it.
const WIDTH: i64 = 190 * MM;

/// One file.
pub fn file(ask: &Ask<'_>) -> String {
    let plan = ask.plan;
    let sets = handout::on_screen(ask, WIDTH);
    let [title, under] = handout::heads(ask);
    let titled = || {
        sets.iter()
            .enumerate()
            .filter(|(_, set)| !set.title.is_empty())
    };
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
                    h1 { (title) }
                    p { (under) }
                    @if let Some(said) = true_scale(plan) { p { (said) } }
                    nav aria-label="Contents" {
                        ol {
                            @for (n, set) in titled() {
                                li { a href=(format!("#part{n}")) { (set.title) } }
                            }
                        }
                    }
                }
                main {
                    @for (n, set) in sets.iter().enumerate() {
                        section id=(format!("part{n}")) {
                            @if !set.title.is_empty() { h2 { (set.title) } }
                            @for item in &set.items { (one(item, set.title.is_empty())) }
                        }
                    }
                }
            }
        }
    };
    page.into_string()
}

/// `first`: headings are those of a section.
fn one(item: &Item, first: bool) -> Markup {
    html! {
        @match item {
            Item::Block(block) => (set(block, first)),
            Item::Row(figures) => div class="row" {
                @for page in figures { (figure(page)) }
            },
            Item::Beside(page, blocks) => div class="beside" {
                @if page.width.nm() > 0 { (figure(page)) }
                div { @for block in blocks { (set(block, first)) } }
            },
            Item::Columns(columns) => div class="columns" {
                @for blocks in columns { div { @for block in blocks { (set(block, first)) } } }
            },
        }
    }
}

fn figure(page: &Page) -> Markup {
    let drawing = svg::element(page, svg::Sides::Screen);
    html! { figure tabindex=[(page.width.nm() > 90 * MM).then_some("0")] { (PreEscaped(drawing)) } }
}

fn set(block: &Block, first: bool) -> Markup {
    html! {
        @match block {
            Block::Heading(words) if first => h2 { (words) },
            Block::Heading(words) => h3 { (words) },
            Block::Text(words) => p { (words) },
            Block::Label(words) => p { b { (words) } },
            Block::Small(words) => p { (words) },
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
        div class="wide" tabindex="0" {
            table {
                thead {
                    tr {
                        @if table.tick { td {} }
                        @for (n, head) in table.head.iter().enumerate() {
                            @if head.is_empty() { td {} }
                            @else { th scope="col" class=[number(&n)] { (head) } }
                        }
                    }
                }
                tbody {
                    @for row in &table.rows {
                        tr {
                            @if table.tick { td class="tick" {} }
                            @for (n, cell) in row.iter().enumerate() {
                                td class=[number(&n)] {
                                    @if table.bold.contains(&n) { b { (cell) } }
                                    @else { (cell) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
