//! Everything that is written of an album.

use crate::common::bags;
use crate::common::dice::Dice;
use std::time::Duration;
use tuckwright::album::Album;
use tuckwright::compare::rank::{Ranking, Respect};
use tuckwright::compare::{self, Asked, At, Candidate, Comparison};
use tuckwright::cut::work::Patience;
use tuckwright::cut::{self, Trimmer, offcuts, pieces};
use tuckwright::draw::paper::Paper;
use tuckwright::draw::{handout, html, shelf, svg};
use tuckwright::explain::{fixes, grow, hand, need};
use tuckwright::length::parse_interval;
use tuckwright::plan::{Listed, Plan};
use tuckwright::program::ExpandError;
use tuckwright::program::expand::expand;
use tuckwright::report::fit::Detail;
use tuckwright::report::handout::{Block, Section, book, front, lists, openings, steps};
use tuckwright::report::{self, Answer, From, json, why};
use tuckwright::solve::{Limits, mps};
use tuckwright::style::Style;
use tuckwright::text::{Fault, Files};
use tuckwright::{Outcome, work_laid};

/// What is written, each with a name for it.
pub type Outputs = Vec<(String, String)>;

/// What is asked of an album.
#[derive(Clone, Copy)]
pub struct Ask {
    pub words: bool,
    pub drawings: bool,
}

pub fn all(style: &Style, album: &Album, ask: Ask) -> Outputs {
    let mut out = Outputs::new();
    let limits = Limits::default();
    let expanded = match expand(style, album) {
        Ok(expanded) => expanded,
        Err(errors) => return vec![("errors".to_owned(), told(&errors))],
    };
    let worked = match work_laid((style, album), expanded, Listed::All, &limits) {
        Ok(worked) => worked,
        Err(errors) => return vec![("errors".to_owned(), told(&errors))],
    };
    let files = Files::default();
    let from = From {
        title: &album.title,
        ruler: album.ruler,
        bag: false,
        without_pocket: false,
        file: true,
        leaves: album.leaves.len(),
        style,
        files: &files,
    };
    let explanation = match &worked.outcome {
        Outcome::Clash(_) => Some(fixes::why(style, album, &worked, &limits)),
        _ => None,
    };
    let answer = match (&worked.outcome, &explanation) {
        (Outcome::Fits(plan), _) => Answer::Fits(plan),
        (Outcome::Clash(_), Some(why)) => Answer::Clash(why),
        (other, _) => panic!("{other:?}"),
    };
    let mut say = |name: &str, text: String| out.push((name.to_owned(), text));
    if ask.words {
        for bag in [false, true] {
            let from = From { bag, ..from };
            say("fit", report::fit::text(from, answer, Detail::First));
            say("fit --all", report::fit::text(from, answer, Detail::All));
            say("why", why::text(from, answer));
        }
        say("fit --json", json::fit(from, answer, 0));
        say("why --json", json::why::album(from, answer, 0));
        say("rules", report::rules::text(from, answer));
        say("rules --json", json::rules(from, answer, 0));
        say("rules --names", report::rules::names(style));
        let program = &worked.expanded.program;
        let titles = &worked.expanded.stage_titles;
        say("stages", report::export::stages(program, titles));
        let model = tuckwright::solve::musts_program(program);
        say(
            "mps",
            mps::write_mps(&model).expect("it can be written").text,
        );
        for (name, text) in questions(style, album, from) {
            say(&name, text);
        }
        let compared = compared(style, album);
        for detail in [Detail::First, Detail::All] {
            say("compare", report::compare::text(from, &compared, detail));
        }
        let text = json::compare::compare(from, &[], &compared, 0);
        say("compare --json", text);
        let shelf = shelf::page(&album.title, album.ruler, &compared);
        say("compare --svg", svg::file(&shelf));
    }
    let Outcome::Fits(plan) = &worked.outcome else {
        return out;
    };
    if ask.words {
        let sizes = worked.expanded.sizes.iter();
        let scene = &worked.expanded.model.scene;
        let sizes = sizes.map(|it| scene.size_name(it.thing, &it.field));
        let mut names: Vec<String> = sizes.collect();
        names.dedup();
        if let Some(name) = names.last() {
            let leaf = Some(album.leaves[album.leaves.len() - 1].name.as_str());
            let text = match grow::grow(style, album, &worked, name, leaf, &limits) {
                Ok(growth) => why::grow(from, &growth) + &json::why::grow(from, &growth, 0),
                Err(error) => error.to_string(),
            };
            say("why --grow", text);
        }
    }
    printed(&mut out, (album, plan), ask);
    out
}

/// Errors with what to type instead.
pub fn told(errors: &[ExpandError]) -> String {
    let one = |error: &ExpandError| format!("{error}; {:?}\n", error.help());
    errors.iter().map(one).collect()
}

/// What is asked of `why`: a thing in the hand for each place, and what some of them need.
fn questions(style: &Style, album: &Album, from: From<'_>) -> Outputs {
    let limits = Limits::default();
    let size = |text: &str| parse_interval(text).expect("a length");
    let mut out = Outputs::new();
    for (n, place) in hand::Place::all(style).into_iter().enumerate() {
        let (width, height) = match n % 2 {
            0 => (size("60 mm"), size("80 mm")),
            _ => (size("150 mm"), size("100 mm")),
        };
        let ask = hand::Ask {
            width,
            height,
            place: place.clone(),
            leaf: 0,
        };
        let text = match hand::hand(style, album, &ask, &limits) {
            Ok(hand) => why::hand(from, &hand) + &json::why::hand(from, &hand, 0),
            Err(errors) => told(&errors),
        };
        out.push((format!("why --insert, place {n}"), text));
        // Each takes long: of each album others.
        if n % 3 != album.title.len() % 3 {
            continue;
        }
        let want = need::Want {
            place,
            count: 2,
            width,
            height,
        };
        let wants = [want];
        let text = match need::need(style, album, &wants, &limits) {
            Ok(need) => {
                let json = json::why::need(from, &wants, &need, 0);
                why::need(from, &wants, &need) + &json
            }
            Err(error) => error.to_string(),
        };
        out.push((format!("why --need, place {n}"), text));
    }
    out
}

fn compared(style: &Style, album: &Album) -> Comparison {
    let limits = Limits::default();
    let asked = Asked::new(style, album, None).expect("it can be compared");
    let respects: Vec<Respect> = Respect::ALL.iter().map(|(_, respect)| *respect).collect();
    let mut ranking = Ranking::new(&respects, &[], 5);
    let mut dice = Dice::new(1);
    for _ in 0..6 {
        let bag = bags::alike(&mut dice, &album.supplies.bags[0]);
        let at = At::default();
        ranking.take(compare::offer(&asked, &Candidate { bag, at }, &limits));
    }
    let counts = ranking.counts;
    let (ranked, failed) = ranking.finish();
    let failed = failed.into_iter().map(|offer| {
        let mend = compare::mend(&asked, &offer.bag, &limits);
        (offer, mend)
    });
    Comparison {
        scope: asked.scope(),
        by: respects,
        at_least: Vec::new(),
        counts,
        ranked,
        less: Vec::new(),
        failed: failed.collect(),
        wrong_rows: 0,
        unread: false,
    }
}

/// The cutting plans, the printout and its pages.
fn printed(out: &mut Outputs, (album, plan): (&Album, &Plan), ask: Ask) {
    let mut say = |name: &str, text: String| out.push((name.to_owned(), text));
    let order = pieces::order(plan, album, Vec::new(), Trimmer::default());
    let patience = Patience {
        time: Duration::from_secs(600),
        typed: None,
        cancel: None,
        told: None,
    };
    let batches = match order.wants.is_empty() {
        true => Vec::new(),
        false => cut::work::work(&order, None, album.ruler, &patience).unwrap_or_default(),
    };
    let left = offcuts::left(&order, &batches, album.ruler);
    let answer = (!batches.is_empty()).then_some(cut::Answer {
        order: &order,
        batches: &batches,
        left: &left,
        asked: None,
    });
    if let (true, Some(answer)) = (ask.words, answer) {
        say("cut", report::cut::text(&album.title, album.ruler, answer));
        let json = json::cut::plan(&album.title, album.ruler, answer, 0);
        say("cut --json", json);
        let plans = batches.iter().flat_map(|batch| &batch.plan().papers);
        say(
            "cut --csv",
            report::cut::csv::text(album.ruler, &order, plans),
        );
    }
    if ask.words {
        for section in texts(album, plan, answer) {
            say("texts", format!("{section:#?}"));
        }
    }
    if ask.drawings {
        let all: Vec<handout::Part> = handout::PARTS.iter().map(|(_, part)| *part).collect();
        let ask = handout::Ask {
            album,
            plan,
            answer,
            parts: Some(&all),
        };
        say("html", html::file(&ask));
        let document = handout::document(Paper::A4, &ask);
        for (n, page) in document.pages.iter().enumerate() {
            say(&format!("page {}", n + 1), svg::file(page));
        }
    }
}

/// Everything that is text, each section in the order in which it is printed.
fn texts(album: &Album, plan: &Plan, answer: Option<cut::Answer<'_>>) -> Vec<Section> {
    let titled = |title: &str, blocks| Section::new(title, blocks);
    let steps = steps::steps(album, plan, answer.is_some());
    let steps = steps.into_iter();
    let steps = steps.map(|step| Section::new(step.title, step.blocks));
    let front = [
        titled("Front", vec![Block::Text(front::under(plan))]),
        titled(front::WATCH, front::watch(plan)),
        lists::cutting(album, plan, answer),
        titled(lists::TABLE, lists::table(album, plan, answer).concat()),
        titled("Words", front::words(plan)),
    ];
    let map = openings::openings(plan).into_iter().map(|opening| {
        let sides = [(false, opening.left), (true, opening.right)];
        let sides = sides.into_iter().filter_map(|(r, side)| Some((r, side?)));
        let words = sides.flat_map(|(right, side)| {
            let said = [openings::on_page(plan, side), openings::short(plan, side)];
            said.into_iter()
                .chain(openings::designs(plan, &opening, right))
        });
        titled(
            &openings::named(plan, &opening),
            words.map(Block::Small).collect(),
        )
    });
    let all = front.into_iter().chain(steps).chain(map);
    all.chain([book(plan)]).collect()
}
