//! The pages of render, pair and card in a real browser: its controls, the keyboard, a phone's width, print, and accessibility.
//!
//! A script at the end of the page drives it and leaves its findings in the page, which the browser prints without a window. Without
//! Chromium these tests count as ignored, and they fail where `VELATURA_REQUIRE_BROWSER=1` is set. `VELATURA_BROWSER` names
//! another Chromium, and `VELATURA_AXE` the file `axe.min.js` of the package `axe-core`.

mod checks;
mod chromium;
mod other_pages;
mod page;

use std::process::ExitCode;

use libtest_mimic::{Arguments, Failed, Trial};

fn main() -> ExitCode {
    let required = std::env::var("VELATURA_REQUIRE_BROWSER").is_ok_and(|value| value == "1");
    let missing = chromium::program().is_none();
    let no_axe = chromium::axe().is_none();
    let trial = |name: &str, test: fn(), missing: bool| {
        let run = move || -> Result<(), Failed> {
            test();
            Ok(())
        };
        Trial::test(name, run).with_ignored_flag(missing && !required)
    };
    let trials = vec![
        trial("controls", page::every_control_does_what_it_says, missing),
        trial("keyboard", page::the_keyboard_moves_and_zooms, missing),
        trial("favourites", page::favourites_become_an_option, missing),
        trial("phone", page::nothing_is_wider_than_a_phone, missing),
        trial("print", page::a_scheme_prints_on_one_page, missing),
        trial("policy", page::no_script_runs_but_the_pages_own, missing),
        trial("axe", page::axe_finds_nothing_serious, missing || no_axe),
        trial("pair_phone", other_pages::a_pair_fits_a_phone, missing),
        trial(
            "card",
            other_pages::a_card_fits_a_phone_and_its_sheet_of_paper,
            missing,
        ),
        trial(
            "others_axe",
            other_pages::axe_finds_nothing_on_them,
            missing || no_axe,
        ),
    ];
    libtest_mimic::run(&Arguments::from_args(), trials).exit_code()
}
