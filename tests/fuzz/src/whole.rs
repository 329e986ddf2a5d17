//! The whole way: album, program, plan, reports, cutting plans, printout.

use crate::{Dice, cutting, readers, vary};
use std::time::Duration;
use tuckwright::album::Album;
use tuckwright::cut::{Trimmer, pieces};
use tuckwright::draw::{handout, html, pdf, svg};
use tuckwright::explain::fixes;
use tuckwright::report::{self, Answer, From, fit::Detail};
use tuckwright::solve::{Limits, check};
use tuckwright::style::Style;
use tuckwright::text::Files;
use tuckwright::{Outcome, Worked, draw, work};

/// No clock decides.
pub fn limits(nodes: u64) -> Limits {
    Limits {
        nodes,
        clock: Duration::from_secs(3_600),
        ..Limits::default()
    }
}

/// An album drawn from bytes, as text and read.
pub fn drawn(bytes: &[u8]) -> Option<(Files, Album)> {
    Dice::load(bytes);
    readers::album(vary::album(0).as_bytes())
}

/// An album drawn from bytes, all the way.
pub fn album(bytes: &[u8]) {
    let (first, rest) = bytes.split_at(bytes.len().min(2));
    let mut dice = Dice::of(first);
    let nodes = *dice.pick(&[2_000, 2_000, 0, 1, 10, 100]);
    let prints = dice.chance(10);
    let Some((mut files, album)) = drawn(rest) else {
        return;
    };
    let style = readers::upright(&mut files);
    if let Some(worked) = worked(&files, &style, &album, nodes) {
        told(&files, &style, &album, &worked, nodes);
        if let Outcome::Fits(plan) = &worked.outcome {
            cut(&album, plan, prints);
        }
    }
}

/// An album that was written, as far as small limits go.
pub fn read(bytes: &[u8]) {
    let Some((mut files, album)) = readers::album(bytes) else {
        return;
    };
    // One that is huge may take long without anything being wrong.
    let leaves = album.leaves.len();
    let inserts: usize = album.leaves.iter().map(|leaf| leaf.inserts.len()).sum();
    let style = readers::upright(&mut files);
    if leaves > 6 || inserts > 12 {
        readers::laid(&files, &style, &album);
        return;
    }
    if let Some(worked) = worked(&files, &style, &album, 300) {
        told(&files, &style, &album, &worked, 100);
    }
}

/// A style that was written, laid over an album that is drawn from its length.
pub fn styled(bytes: &[u8]) {
    for seed in [&b"\x40"[..], &[bytes.len() as u8; 200]] {
        // The album's places are in the same files.
        let Some((mut files, album)) = drawn(seed) else {
            continue;
        };
        let Some(style) = readers::style(&mut files, bytes) else {
            return;
        };
        let _ = report::rules::names(&style);
        if style.rules.len() + style.unknowns.len() + style.choices.len() > 400 {
            continue;
        }
        if let Some(worked) = worked(&files, &style, &album, 200) {
            told(&files, &style, &album, &worked, 50);
        }
    }
}

/// Works an album out: every certificate is replayed, and no plan breaks a rule.
pub fn worked(files: &Files, style: &Style, album: &Album, nodes: u64) -> Option<Worked> {
    if !readers::laid(files, style, album) {
        return None;
    }
    let worked = work(style, album, &limits(nodes)).ok()?;
    if let Outcome::Defect(defect) = &worked.outcome {
        panic!("{defect}\n{album:?}");
    }
    for certificate in &worked.solution.certificates {
        assert_eq!(
            check::replay(&certificate.problem, &certificate.proof),
            Ok(())
        );
        assert!(certificate.is_about(&worked.expanded.program));
    }
    Some(worked)
}

/// Says an answer in every way.
pub fn told(files: &Files, style: &Style, album: &Album, worked: &Worked, nodes: u64) {
    let explanation = match worked.outcome {
        Outcome::Clash(_) => Some(fixes::why(style, album, worked, &limits(nodes))),
        _ => None,
    };
    let answer = match (&worked.outcome, &explanation) {
        (Outcome::Fits(plan), _) => Answer::Fits(plan),
        (_, Some(why)) => Answer::Clash(why),
        (Outcome::Undecided(why), _) => Answer::Undecided(*why),
        _ => unreachable!("defects were refused"),
    };
    let from = From {
        title: &album.title,
        ruler: album.ruler,
        bag: false,
        without_pocket: false,
        file: true,
        leaves: album.leaves.len(),
        style,
        files,
    };
    for detail in [Detail::First, Detail::All] {
        let _ = report::fit::text(from, answer, detail);
    }
    let _ = report::rules::text(from, answer);
    let _ = report::why::text(from, answer);
    let program = &worked.expanded.program;
    let _ = report::export::stages(program, &worked.expanded.stage_titles);
    for json in [
        report::json::fit(from, answer, 0),
        report::json::rules(from, answer, 0),
        report::json::why::album(from, answer, 0),
    ] {
        serde_json::from_str::<serde_json::Value>(&json).expect("JSON");
    }
}

fn cut(album: &Album, plan: &tuckwright::plan::Plan, prints: bool) {
    let order = pieces::order(plan, album, Vec::new(), Trimmer::default());
    if !order.wants.is_empty() {
        cutting::told(&order, None, album.ruler, 50);
    }
    if !prints {
        return;
    }
    let paper = draw::paper::Paper::A4;
    let ask = handout::Ask {
        album,
        plan,
        answer: None,
        parts: None,
    };
    let document = handout::document(paper, &ask);
    for page in &document.pages {
        let _ = svg::file(page);
    }
    pdf::file(&document).expect("a PDF");
    let _ = html::file(&ask);
}
