#![no_main]
//! Rules, conditions, sentences.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| tuckwright_fuzz::readers::grammar(text));
