//! No label lies on another or on a line, none is off the page, every letter is in the font.

use crate::common::{upright, varied};
use crate::{Cutting, PAPERS, SHIPPED, document, planned, shipped};
use tuckwright::draw::handout::{Ask, PARTS, Part};
use tuckwright::draw::list::{Document, Shape};
use tuckwright::draw::paper::{MARGIN, Paper};
use tuckwright::draw::{check, font, html};

pub(crate) fn faults(name: &str, document: &Document) -> Vec<String> {
    let mut all = Vec::new();
    for (n, page) in document.pages.iter().enumerate() {
        let here = check::faults(page).into_iter();
        all.extend(here.map(|f| format!("{name}, page {} ({}): {f}", n + 1, page.title)));
        // A printer leaves its margin white.
        let paper = page.area().grown(-MARGIN);
        for mark in &page.marks {
            if !paper.grown(500_000).holds(mark.shape.area()) {
                all.push(format!("{name}, page {}: in the margin: {mark:?}", n + 1));
            }
        }
    }
    all
}

#[test]
fn the_shipped_albums_can_be_read() {
    for name in SHIPPED {
        for paper in PAPERS {
            let (_, document) = document(paper, &shipped(name));
            let faults = faults(name, &document);
            assert!(faults.is_empty(), "{paper:?}\n{}", faults.join("\n"));
        }
    }
}

#[test]
fn two_hundred_varied_albums_can_be_read() {
    let style = upright();
    let mut all = Vec::new();
    let mut fit = 0;
    let mut seed = 0;
    while fit < 200 {
        seed += 1;
        let album = varied(seed);
        let Some(plan) = planned(&style, &album) else {
            continue;
        };
        fit += 1;
        let paper = if seed % 2 == 0 {
            Paper::A4
        } else {
            Paper::Letter
        };
        let document = crate::uncut(paper, &album, &plan);
        all.extend(faults(&format!("varied {seed}"), &document));
    }
    // Each kind of fault once.
    let letters = |fault: &String| -> String {
        let short = fault.chars().filter(|c| !c.is_ascii_digit() && *c != '-');
        short.skip_while(|c| *c != '(').collect()
    };
    let count = all.len();
    all.sort_by_key(letters);
    all.dedup_by_key(|fault| letters(fault));
    assert!(all.is_empty(), "{count} faults\n{}", all.join("\n"));
}

/// What files call `paper_caliper` is told in words.
#[test]
fn no_page_says_a_name_as_it_stands_in_files() {
    for name in SHIPPED {
        let (_, document) = document(Paper::A4, &shipped(name));
        let marks = document.pages.iter().flat_map(|page| &page.marks);
        let words: Vec<&str> = marks
            .filter_map(|mark| match &mark.shape {
                Shape::Text(text) => Some(text.words.as_str()),
                _ => None,
            })
            .collect();
        let said = words.join(" ").replace('\u{a0}', " ");
        assert!(said.contains("an insert's card (assumed)"), "{name}");
        let bare = words.iter().find(|w| w.contains(['_', '`']));
        assert_eq!(bare, None, "{name}");
    }
}

#[test]
fn every_letter_is_in_the_font() {
    for name in SHIPPED {
        let album = shipped(name);
        let (plan, document) = document(Paper::A4, &album);
        for page in &document.pages {
            for mark in &page.marks {
                if let Shape::Text(text) = &mark.shape {
                    assert!(text.words.chars().all(font::has), "{}", text.words);
                }
            }
        }
        // What is drawn has `?` for letters that are not there, so the texts themselves are asked.
        let cutting = Cutting::of(&album, &plan);
        let all: Vec<Part> = PARTS.iter().map(|(_, part)| *part).collect();
        let ask = Ask {
            album: &album,
            plan: &plan,
            answer: Some(cutting.answer()),
            parts: Some(&all),
        };
        let text = html::file(&ask);
        let strange = text.chars().filter(|c| *c != '\n' && !font::has(*c));
        assert_eq!(strange.collect::<String>(), "", "{name}");
    }
}
