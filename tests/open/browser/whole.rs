//! A whole album made from nothing by clicking and typing, equal to the same album as a file.

use crate::page::Page;
use serde_json::{Value, json};
use std::fs;
use std::process::Command;

/// What is made on the page.
const SAME: &str = r#"album = "From nothing"
style = "upright"
ruler = "1/8 in"
prefer = ["largest photo_mat.photo"]

[template]
holes = 3

[[bag]]
name = "my bag"
size = "5 1/4 x 7 5/8 in"
gusset = "3 in"

[[leaf]]
name = "shore"
bag = "my bag"
count = 4
[[leaf.insert]]
name = "photo_mat"
place = "mouth"
photo = true
[[leaf.insert]]
name = "tag"
place = "pocket"
width = "2 in"
height = "3 in"
grip = "string"

[[leaf]]
name = "front"
bag = "my bag"
turned = true
"#;

/// The tick of a place, by its words.
const TICK: &str = "return [...document.querySelectorAll('#have label.tick')]
    .find((it) => it.innerText.startsWith(arguments[0])).querySelector('input').id";

/// All sizes of an album, as other programs read them.
fn sizes(page: &Page, name: &str) -> Value {
    let said = Command::new(env!("CARGO_BIN_EXE_tuckwright"))
        .args(["fit", "--json"])
        .arg(page.file(name))
        .output()
        .expect("an answer");
    assert!(
        said.status.success(),
        "{}",
        String::from_utf8_lossy(&said.stderr)
    );
    let mut said: Value = serde_json::from_slice(&said.stdout).expect("JSON");
    // What it is called is not what it is.
    for key in ["album", "title", "file"] {
        if let Some(said) = said.as_object_mut() {
            said.remove(key);
        }
    }
    said
}

#[test]
fn an_album_from_nothing_is_that_of_the_same_file() {
    let Some(page) = Page::empty() else { return };
    page.entry("Width").keys("5 1/4");
    page.find("#f-bag-height").keys("7 5/8");
    page.sees("#cut", "5 1/4 × 7 5/8 in");
    page.find("#f-bag-gusset").keys("3");
    page.leave();
    page.until("the gusset", || {
        page.find("#album-text")
            .value()
            .contains("gusset = \"3 in\"")
            .then_some(())
    });
    // The leaf: its name, and how many.
    page.unfold("About leaf");
    page.entry("Name").type_over("shore");
    page.leave();
    page.sees("#bag", "shore, 1 of my bag");
    page.entry("How many").type_over("4");
    page.leave();
    page.sees("#bag", "shore, 4 of my bag");
    // A tag in the pocket, held by a string.
    let tick = page.run(TICK, &json!(["Pocket"]));
    page.find(&format!("#{}", tick.as_str().expect("a tick")))
        .click();
    page.until("a thing there", || {
        (!page.text("#have").contains("Pocket: nothing")).then_some(())
    });
    page.find("#f-insert1-width").keys("2");
    page.find("#f-insert1-height").keys("3");
    page.leave();
    page.until("its height", || {
        page.find("#album-text")
            .value()
            .contains("height = \"3 in\"")
            .then_some(())
    });
    page.run(
        "document.querySelector('#f-insert1-name').closest('details').open = true",
        &json!([]),
    );
    page.find("#f-insert1-grip").pick("a string");
    page.until("the string", || {
        page.find("#album-text")
            .value()
            .contains("grip = \"string\"")
            .then_some(())
    });
    page.find("#f-insert1-name").type_over("tag");
    page.leave();
    page.sees("#have", "tag, 2 × 3 in");
    // Another kind of leaf, the cover, with nothing in it.
    page.unfold("Holes and rings");
    page.entry("How many holes").type_over("3");
    page.leave();
    page.until("the holes", || {
        page.find("#album-text")
            .value()
            .contains("holes = 3")
            .then_some(())
    });
    page.button("Add a kind of leaf").click();
    page.until("two kinds", || {
        let script = "return document.querySelectorAll('#bag input[type=radio]').length";
        (page.run(script, &json!([])).as_u64() == Some(2)).then_some(())
    });
    let last = "document.querySelectorAll('#bag input[type=radio]')[1].click()";
    page.run(last, &json!([]));
    page.until("the second", || {
        page.find("#f-leaf-name").value().ne("shore").then_some(())
    });
    page.run(
        "document.querySelector('#f-leaf-name').closest('details').open = true",
        &json!([]),
    );
    page.find("#f-leaf-name").type_over("front");
    page.leave();
    page.sees("#bag", "front, ");
    page.find("#f-leaf-count").type_over("1");
    page.leave();
    page.sees("#bag", "front, 1 of my bag");
    page.find("#f-leaf-turned").click();
    page.until("turned", || {
        page.find("#album-text")
            .value()
            .contains("turned = true")
            .then_some(())
    });
    for place in ["Pocket", "Front slot"] {
        let tick = page.run(TICK, &json!([place]));
        page.find(&format!("#{}", tick.as_str().expect("a tick")))
            .click();
        page.sees("#have", &format!("{place}: nothing"));
    }
    page.says("It fits.");
    page.find("#save-name").keys("from nothing");
    page.find("#save").click();
    page.until("a file", || {
        page.file("from-nothing.toml").is_file().then_some(())
    });
    page.show("whole");
    page.is_clean();
    fs::write(page.file("same.toml"), SAME).expect("a file");
    let text = page.read("from-nothing.toml");
    assert_eq!(
        sizes(&page, "from-nothing.toml"),
        sizes(&page, "same.toml"),
        "{text}"
    );
}
