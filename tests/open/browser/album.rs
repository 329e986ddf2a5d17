//! A whole album: made by clicking and typing, saved, printed; as text and back.

use crate::page::Page;
use serde_json::json;
use std::fs;

#[test]
fn the_form_writes_the_text_and_keeps_its_comments() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    page.unfold("About shore");
    page.entry("How many").type_over("3");
    page.until("3 in the text", || {
        page.find("#album-text")
            .value()
            .contains("count = 3")
            .then_some(())
    });
    page.says("It fits.");
    page.find("#save").click();
    page.until("the file", || {
        page.read("low-water.toml")
            .contains("count = 3")
            .then_some(())
    });
    let before = fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums/low-water.toml"),
    )
    .expect("it is shipped");
    assert_eq!(
        page.read("low-water.toml"),
        before.replace("count = 4", "count = 3")
    );
}

#[test]
fn the_text_fills_the_form() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.unfold("The album as text");
    let text = page.find("#album-text").value();
    page.put_text(&text.replace("count = 4", "count = 2"));
    page.sees("#bag", "2 of small brown");
    page.says("It fits.");
}

#[test]
fn a_wrong_text_names_its_line() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.unfold("The album as text");
    let text = page.find("#album-text").value();
    page.put_text(&text.replace("height = \"4 in\"", "height = \"4 im\""));
    page.says("line 61");
    // The last good sizes are still there.
    page.find("#leaf svg.leaf.pale");
    page.find("#undo").click();
    page.says("It fits.");
}

#[test]
fn a_place_is_ticked_and_emptied() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    let tick = "return [...document.querySelectorAll('#have label.tick')].find((it) => it.innerText.startsWith(arguments[0])).querySelector('input').id";
    let of = |words: &str| {
        let id = page.run(tick, &json!([words]));
        format!("#{}", id.as_str().expect("a tick"))
    };
    page.find(&of("Glued on the back")).click();
    page.until("something there", || {
        (!page.text("#have").contains("Glued on the back: nothing")).then_some(())
    });
    page.says("It fits.");
    page.find(&of("Glued on the back")).click();
    page.sees("#have", "Glued on the back: nothing");
}

#[test]
fn a_leaf_is_renamed_turned_and_removed() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("ledger");
    page.unfold("About ledger");
    let name = page.entry("Name");
    name.type_over("finds book");
    page.leave();
    page.sees("#bag", "finds book, 2 of lunch brown");
    page.find("#undo").click();
    page.sees("#bag", "ledger, 2 of lunch brown");
    page.look_at("cover");
    page.unfold("About cover");
    page.button("Remove cover").click();
    page.until("two kinds of leaf", || {
        (!page.text("#bag fieldset").contains("cover")).then_some(())
    });
    page.says("It fits.");
}

#[test]
fn another_kind_of_leaf_is_added() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    page.button("Add a kind of leaf").click();
    page.until("four kinds", || {
        let script = "return document.querySelectorAll('#bag input[type=radio]').length";
        (page.run(script, &json!([])).as_u64() == Some(4)).then_some(())
    });
}

#[test]
fn the_openings_lead_to_their_leaves() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.find("#view").pick("the whole album");
    page.sees("#leaf", "Front cover");
    page.show("openings");
    page.button("Look at ledger, pocket side").click();
    page.sees("#leaf h2", "ledger, pocket side");
}

#[test]
fn the_sheets_are_counted() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.says("It fits.");
    page.sees("#cut", "You need ");
    page.button("Look at the sheets").click();
    page.sees("#leaf h2", "The sheets");
    page.find("#leaf svg.print");
    page.show("sheets");
}

#[test]
fn the_sheets_for_twelve_are_counted() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.sees("#cut", "You need ");
    page.entry("How many albums").type_over("12");
    page.button("Sheets for all of them").click();
    // Ten sheets are enough for one album, and twenty of each paper lie there.
    page.sees("#cut", "Your sheets are not enough (proved).");
    page.sees("#cut", " more of ");
    page.sees("#cut", "of 12.");
    page.entry("How many albums").type_over("1");
    page.button("Sheets for all of them").click();
    page.sees("#cut", "You need ");
}

#[test]
fn what_to_buy_for_a_class_is_told() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.says("It fits.");
    page.entry("How many albums").type_over("12");
    page.button("What to buy").click();
    page.sees("#cut .answer-box", "What you use, and what stays");
    // 12 albums of 5 leaves each are made of this bag: 60.
    page.sees("#cut .answer-box", "2 packs of 50 of small brown");
    page.button("What each costs").click();
    page.sees("#cut .answer-box", "One of 12");
    page.sees("#cut .answer-box", "Parcels");
}

#[test]
fn what_is_refused_is_seen_and_gone_when_it_is_mended() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    page.unfold("About shore");
    page.entry("Name").type_over("");
    page.leave();
    page.sees("#untaken", "1 box not taken");
    page.sees("#bag", "The album cannot be without this.");
    page.entry("Name").type_over("shore");
    page.leave();
    page.until("no old words", || {
        (!page.text("#bag").contains("cannot be without")).then_some(())
    });
    // A choice that cannot be is said, and stands as it was.
    let bag = page.entry("Bag");
    let before = bag.value();
    page.button("Shore forward in the album").click();
    page.until("another order", || {
        let text = page.find("#album-text").value();
        let at = |name: &str| text.find(&format!("name = \"{name}\""));
        (at("shore") < at("cover")).then_some(())
    });
    assert_eq!(page.entry("Bag").value(), before);
    page.find("#save").click();
    page.sees("#told", "Saved ");
}

#[test]
fn a_paper_is_taken_for_all_that_has_none() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.put_text(TWO_BAGS);
    page.sees("#cut", "5 × 8 in");
    page.unfold("Papers");
    page.button("Add a paper").click();
    page.button("Paper for all that has no paper yet").click();
    page.sees("#cut", "You need ");
    // Three mats and the photo mat; and its own name.
    let text = page.find("#album-text").value();
    assert_eq!(text.matches("= \"paper\"").count(), 5);
}

#[test]
fn it_is_stopped_on_the_page() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.says("It fits.");
    page.find("#end").click();
    page.sees("#strip", "tuckwright has stopped.");
}

#[test]
fn a_count_that_lasts_is_stopped_with_the_best_so_far() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    let mut text = String::from(
        "album = \"Many\"\nruler = \"1/16 in\"\npaper = [{ name = \"laid\", size = \"12 x 12 in\" }]\n",
    );
    let two = |n: u32| (66 + 7 * n % 45, 90 + 11 * n % 61);
    for n in 0..24 {
        let (width, height) = two(n);
        text +=
            &format!("[[bag]]\nname = \"bag {n}\"\nsize = \"{width} / 16 x {height} / 16 in\"\n");
        text += &format!(
            "[[leaf]]\nname = \"leaf {n}\"\nbag = \"bag {n}\"\nfront_mat = \"laid\"\nback_mat = \"laid\"\n"
        );
    }
    page.put_text(&text);
    page.sees("#bar", "Many");
    page.says("It fits.");
    page.entry("How many albums").type_over("37");
    // The count ends by itself: it is stopped as soon as it has a plan of hundreds of sheets, for 37 albums.
    let script = "const done = arguments[0];
        const press = (words) => [...document.querySelectorAll('button')].find((it) => it.innerText.startsWith(words))?.click();
        const watch = new MutationObserver(() => {
          const stop = [...document.querySelectorAll('button')].find((it) => it.innerText.startsWith('Stop and keep'));
          if (stop && /Counting sheets: [0-9]{3}/.test(document.querySelector('#cut').innerText)) { watch.disconnect(); stop.click(); done(true); }
        });
        watch.observe(document.querySelector('#cut'), { subtree: true, childList: true, characterData: true });
        press('Sheets for all of them');";
    page.run_and_wait(script, &serde_json::json!([]));
    page.sees("#cut", "sheets are enough; you need at least ");
}

#[test]
fn wishes_are_put_in_another_order_taken_away_and_added() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.unfold("What I want most");
    let wishes = || {
        let text = page.find("#album-text").value();
        let at = text.find("prefer").expect("it has wishes");
        text[at..].lines().next().unwrap_or_default().to_owned()
    };
    let before = wishes();
    let up = page.find("[data-key='wishes'] button[aria-label^='Up: ']");
    up.click();
    let turned = page.until("another order", || {
        let now = wishes();
        (now != before).then_some(now)
    });
    page.find("#undo").click();
    page.until("the first order", || (wishes() == before).then_some(()));
    page.find("[data-key='wishes'] button[aria-label^='Take away: ']")
        .click();
    let fewer = page.until("a wish less", || {
        let now = wishes();
        (now.len() < before.len()).then_some(now)
    });
    page.find("[data-key='wishes'] > button").click();
    page.until("a wish more", || {
        (wishes().len() > fewer.len()).then_some(())
    });
    assert_eq!(turned.len(), before.len());
}

#[test]
fn a_size_is_typed_on_the_drawing() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    page.button("species tag").click();
    page.find("#leaf .stage input.size[aria-label='Width of species tag']")
        .type_over("1 3/4");
    page.until("it in the text", || {
        let text = page.find("#album-text").value();
        text.contains("width = \"1 3/4 in\"").then_some(())
    });
    page.sees("#cut", "1 3/4 ×");
    page.says("It fits.");
}

#[test]
fn a_size_tells_what_decides_it_and_what_would_make_it_larger() {
    let Some(page) = Page::of("hut-book") else {
        return;
    };
    page.look_at("week");
    page.button("photo mat").click();
    page.sees("#leaf", "Width of photo mat");
    page.sees("#leaf .piece", "hole's centre");
    page.button("What would make the photo mat wider?").click();
    page.find("#leaf .answer-box");
    page.show("growth");
    let offer = page.find("#leaf .answer-box .ways button");
    let before = page.text("#cut");
    offer.click();
    page.until("other sizes", || {
        (page.text("#cut") != before).then_some(())
    });
}

#[test]
fn a_card_is_tried() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.entry("A card: width").keys("4");
    page.entry("and height").keys("6");
    page.button("Does this card go in?").click();
    page.sees("#cut", "it goes in");
}

/// Two flat bags, either of which will do.
const TWO_BAGS: &str = r#"album = "Two bags"
ruler = "1/8 in"
bag = [
  { name = "small", size = "5 x 8 in", gusset = "3 in" },
  { name = "large", size = "6 x 9 in", gusset = "3 in" },
]
[[leaf]]
name = "page"
bag = "small"
[[leaf.insert]]
name = "photo_mat"
place = "mouth"
photo = true
"#;

#[test]
fn other_bags_are_compared_tried_and_put_back() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    // What does not fit is said with what stops it.
    page.button("Which of my bags?").click();
    page.sees("#cut .answer-box", "No: ");
    page.put_text(TWO_BAGS);
    page.sees("#cut", "5 × 8 in");
    page.button("Which of my bags?").click();
    page.button("Look at large").click();
    page.says("Trying large");
    page.sees("#cut", "6 × 9 in");
    page.sees("#cut", ": cut it anew");
    page.button("Go back").click();
    page.sees("#cut", "5 × 8 in");
    assert!(!page.text("#strip").contains("Trying"));
    page.button("Which of my bags?").click();
    page.button("Look at large").click();
    page.button("Keep it").click();
    page.until("the other bag in the text", || {
        let text = page.find("#album-text").value();
        text.contains("bag = \"large\"").then_some(())
    });
}

/// What is printed is a PDF.
#[test]
fn it_prints() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.says("It fits.");
    let script = "const done = arguments[0];
        fetch('/print', { method: 'POST', headers: { 'content-type': 'application/json', 'x-tuckwright': sessionStorage.getItem('key') }, body: '{\"tab\":\"t\"}' })
        .then((it) => it.arrayBuffer()).then((it) => done(new TextDecoder('latin1').decode(it).slice(0, 5) + it.byteLength))";
    let said = page.run_and_wait(script, &json!([]));
    let said = said.as_str().unwrap_or_default();
    assert!(said.starts_with("%PDF-") && said.len() > 9, "{said}");
}

#[test]
fn a_hundred_changes_are_undone() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    let text = page.find("#album-text").value();
    page.unfold("About shore");
    for n in 0..20 {
        let count = page.entry("How many");
        count.type_over(&format!("{}", 1 + n % 3));
        page.leave();
        page.until("the count", || {
            page.find("#album-text")
                .value()
                .contains(&format!(
                    "count = {}\nfront_mat = \"wave print\"",
                    1 + n % 3
                ))
                .then_some(())
        });
    }
    for _ in 0..200 {
        if page.find("#undo").attribute("aria-disabled").is_some() {
            break;
        }
        let before = page.find("#album-text").value();
        page.find("#undo").click();
        page.until("a step back", || {
            (page.find("#album-text").value() != before).then_some(())
        });
    }
    assert_eq!(page.find("#album-text").value(), text);
}
