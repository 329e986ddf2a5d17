//! The time that a maker gives: no verb takes longer, and what is not settled by then is undecided.

use super::*;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, Instant};

/// An album whose sizes are each a step or two, and whose sums must come out half way: of all
/// small questions the hardest to search.
fn split(folder: &Path, unknowns: usize, sums: usize) -> String {
    let mut dice = 7u64;
    let mut roll = || {
        dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        dice >> 33
    };
    let mut style = "style = \"split\"\ntitle = \"Halves\"\n[quantity]\n\
                     two = { value = \"1/4 in\", why = \"two steps\" }\n"
        .to_owned();
    let mut rules = String::new();
    for sum in 0..sums {
        let times: Vec<u64> = (0..unknowns).map(|_| roll() % 100).collect();
        let half = times.iter().sum::<u64>() * 3 / 2;
        writeln!(
            style,
            "half{sum} = {{ value = \"{half} / 8 in\", why = \"half\" }}"
        )
        .expect("text");
        let terms = times.iter().enumerate();
        let terms: Vec<String> = terms.map(|(at, n)| format!("{n} * u{at}.width")).collect();
        let require = format!("{} = half{sum}", terms.join(" + "));
        rules.push_str(&rule(&format!("sum {sum}"), &require));
    }
    for at in 0..unknowns {
        rules.push_str(&rule(&format!("step {at}"), &format!("u{at}.width <= two")));
        style.push_str(&format!(
            "[[unknown]]\nname = \"u{at}.width\"\nfor = [\"leaf in leaves\"]\nprefer = \"large\"\nwhy = \"a size\"\n"
        ));
    }
    let album = "album = \"Halves\"\nstyle = \"split.toml\"\nruler = \"1/8 in\"\n\
                 [[leaf]]\nname = \"a\"\nbag = \"b\"\n[[bag]]\nname = \"b\"\nsize = \"5 x 8 in\"\n\
                 [photos]\nlist = \"photos.csv\"\n";
    fs::write(folder.join("photos.csv"), "name,shape\nboat,4:3\n").expect("a list");
    let path = folder.join(format!("album-{unknowns}.toml"));
    let slot = "[[part]]\nname = \"leaf\"\nfrom = \"bags\"\n\
                on = [{ name = \"mouth\", opens = \"high\", place = \"mouth\" }]\n";
    fs::write(folder.join("split.toml"), style + &rules + slot).expect("a style");
    fs::write(&path, album).expect("an album");
    path.to_str().expect("a name").to_owned()
}

fn rule(name: &str, require: &str) -> String {
    format!(
        "[[rule]]\nname = \"{name}\"\nfor = [\"leaf in leaves\"]\nrequire = '{require}'\n\
         because = \"it must\"\nsource = \"common practice\"\n"
    )
}

#[test]
fn no_verb_takes_longer_than_it_may() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = split(folder.path(), 40, 4);
    let pdf = folder.path().join("out.pdf");
    let pdf = pdf.to_str().expect("a name");
    let verbs: [&[&str]; 11] = [
        &["fit"],
        &["buy"],
        &["rules"],
        &["export"],
        &["compare"],
        &["cut"],
        &["arrange"],
        &["print", "-o", pdf],
        &["why"],
        &["why", "--grow", "u0.width"],
        &["why", "--insert", "3 x 3 in", "--into", "mouth"],
    ];
    let runs = verbs.map(|verb| {
        let arguments = [verb, &["--time", "1", &album]].concat();
        let mut command = program(&arguments);
        command.stdout(Stdio::piped());
        command.stderr(Stdio::piped());
        (verb, command.spawn().expect("it runs"))
    });
    for (verb, run) in runs {
        let (out, err) = told(&run.wait_with_output().expect("it ends"), 3);
        assert!(!out.contains("not fit"), "{verb:?}: {out}");
        let said = format!("{out}{err}");
        // On a busy machine the time may be up before the first bag is looked at, on a quick one the search
        // has looked at all that it may before.
        let any_of: &[&str] = match verb[0] {
            "compare" => &["1 is undecided", "Nothing was compared."],
            "export" => &["has no plan"],
            _ => &["--time 600", "in too many ways"],
        };
        let said = line(&said);
        let known = any_of.iter().any(|what| said.contains(what));
        assert!(known, "{verb:?}: {said}");
    }
    assert!(fs::metadata(pdf).is_err());
}

#[cfg(unix)]
#[test]
fn a_signal_stops_every_verb() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = split(folder.path(), 40, 4);
    let pdf = folder.path().join("out.pdf");
    let pdf = pdf.to_str().expect("a name");
    let began = Instant::now();
    for signal in ["-INT", "-TERM"] {
        for verb in [
            "fit", "rules", "why", "export", "compare", "cut", "price", "print", "buy", "arrange",
        ] {
            let mut command = program(&[verb, &album, "--time", "600", "-o", pdf]);
            command.stdout(Stdio::piped()).stderr(Stdio::piped());
            let run = command.spawn().expect("it runs");
            std::thread::sleep(Duration::from_millis(500));
            let id = run.id().to_string();
            let sent = Command::new("kill").args([signal, &id]).status();
            assert!(sent.expect("a signal").success(), "{verb} has ended");
            let output = run.wait_with_output().expect("it ends");
            // Either the signal ends it, or it stops and says so; on a busy machine the signal may come
            // when the search has used its nodes up, and the answer is written.
            let code = output.status.code();
            if code == Some(3) {
                let _ = fs::remove_file(pdf);
                continue;
            }
            assert!(matches!(code, None | Some(130)), "{verb}: {output:?}");
            assert!(output.stdout.is_empty(), "{verb}");
        }
    }
    assert!(began.elapsed() < Duration::from_secs(300));
    let mut left = fs::read_dir(folder.path()).expect("a folder").flatten();
    let typed = |path: &Path| {
        ["toml", "csv"]
            .map(|it| Some(it.as_ref()))
            .contains(&path.extension())
    };
    let pdf = left.find(|entry| !typed(&entry.path()));
    assert!(pdf.is_none(), "{pdf:?}");
}

#[test]
fn explaining_counts_too() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = split(folder.path(), 16, 3);
    let output = run(&["why", "--time", "3", &album]);
    assert!(matches!(output.status.code(), Some(1 | 3)), "{output:?}");
}

#[test]
fn times_are_whole_seconds() {
    for verb in [
        "fit", "why", "rules", "compare", "cut", "price", "print", "export", "buy",
    ] {
        for wrong in ["0", "1.5", "86401", "-3"] {
            let err = refused(&[verb, LOW_WATER, &format!("--time={wrong}")]);
            assert!(err.contains("--time"), "{verb}: {err}");
        }
    }
}
