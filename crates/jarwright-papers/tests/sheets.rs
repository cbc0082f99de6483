//! What must hold of every paper, on a plan made by hand.

mod fixture;

use fixture::plan;
use jarwright_papers::{Sheet, sheets};

const CURD: &str = "Lemon curd";
const HOSTILE: &str = "<b>&\"";

/// Words as maud writes them.
fn escaped(words: &str) -> String {
    words
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

fn named<'a>(sheets: &'a [Sheet], start: &str) -> impl Iterator<Item = &'a Sheet> {
    sheets.iter().filter(move |s| s.file_name.starts_with(start))
}

/// The first fault of a document's tags: not closed, closed out of order, or a bare `<` or `&`.
fn fault(html: &str) -> Option<String> {
    const VOID: [&str; 5] = ["meta", "br", "!DOCTYPE", "hr", "col"];
    let mut open: Vec<&str> = Vec::new();
    let mut rest = html;
    while let Some(at) = rest.find(['<', '&']) {
        rest = &rest[at..];
        if rest.starts_with('&') {
            if !["&amp;", "&lt;", "&gt;", "&quot;"].iter().any(|e| rest.starts_with(e)) {
                return Some(format!("bare & before {:?}", rest.get(..20)));
            }
            rest = &rest[1..];
            continue;
        }
        let Some(end) = rest.find('>') else {
            return Some("a tag without an end".into());
        };
        let tag = &rest[1..end];
        rest = &rest[end + 1..];
        let name = tag.split([' ', '\n']).next().unwrap_or_default();
        if let Some(name) = name.strip_prefix('/') {
            if open.pop() != Some(name) {
                return Some(format!("</{name}> out of order"));
            }
        } else if tag.matches('"').count() % 2 == 1 || name.is_empty() || tag.contains('<') {
            return Some(format!("malformed <{tag}>"));
        } else if name == "style" {
            rest = rest.find("</style>").map_or("", |end| &rest[end + 8..]);
        } else if !VOID.contains(&name) {
            open.push(name);
        }
    }
    open.pop().map(|name| format!("<{name}> not closed"))
}

#[test]
fn the_tag_check_finds_faults() {
    for bad in ["<p>", "<p></b>", "<p>a & b</p>", "<p class=\"a>x</p>", "</p>"] {
        assert!(fault(bad).is_some(), "{bad}");
    }
    assert_eq!(fault("<!DOCTYPE html><p class=\"a\">x &amp; y<br></p>"), None);
}

#[test]
fn every_sheet_is_well_formed_whatever_the_formula_is_called() {
    for name in [CURD, HOSTILE, "", "</style><script>alert(1)</script>", "杏\u{202e}"] {
        for sheet in sheets(&plan(name)) {
            assert_eq!(fault(&sheet.html), None, "{} of {name:?}", sheet.file_name);
        }
    }
}

#[test]
fn no_input_reaches_a_sheet_unescaped() {
    let sheets = sheets(&plan(HOSTILE));
    assert!(sheets.iter().any(|s| s.html.contains(&escaped(HOSTILE))));
    for sheet in &sheets {
        assert!(
            !sheet.html.contains(HOSTILE) && !sheet.html.contains("<yet>"),
            "{}",
            sheet.file_name
        );
        assert!(!sheet.html.contains("<b>"), "{}", sheet.file_name);
    }
}

#[test]
fn every_batch_has_its_page_with_its_lot_and_all_its_lines() {
    let plan = plan(CURD);
    let sheets = sheets(&plan);
    let weighing: Vec<&Sheet> = named(&sheets, "weighing-lemon-curd").collect();
    assert_eq!(weighing.len(), 1);
    let pages: Vec<&str> = weighing[0].html.split("<section class=\"page\">").skip(1).collect();
    assert_eq!(pages.len(), plan.weigh[0].batches);
    for (page, lot) in pages.iter().zip(&plan.labels[0].lots) {
        assert!(page.contains(lot.as_str()));
        for line in &plan.weigh[0].lines {
            assert!(page.contains(&escaped(&line.ingredient)) && page.contains(&escaped(&line.measure)));
        }
        for mass in ["1435 g", "69 g", "350 g", "574 g", "700 g", "488 g", "3616 g"] {
            assert!(page.contains(mass), "{mass}");
        }
        assert!(page.contains("Weighed by") && page.contains("Read back by"));
    }
}

#[test]
fn lines_stand_in_the_order_they_go_in() {
    let plan = plan(CURD);
    let sheets = sheets(&plan);
    for sheet in named(&sheets, "weighing-lemon-curd") {
        let places: Vec<_> = plan.weigh[0]
            .lines
            .iter()
            .map(|l| sheet.html.find(&l.measure))
            .collect();
        assert!(places.is_sorted() && places.iter().all(Option::is_some));
    }
}

#[test]
fn every_caution_is_printed_and_at_the_stove_unless_it_is_the_label_s() {
    let plan = plan(CURD);
    let sheets = sheets(&plan);
    for caution in &plan.cautions {
        let words = escaped(&caution.text);
        assert!(sheets.iter().any(|s| s.html.contains(&words)), "{words}");
        let stove = named(&sheets, "stove-card").any(|s| s.html.contains(&words));
        assert!(stove || caution.at == "label", "{words}");
    }
}

#[test]
fn every_sheet_says_who_decides_and_that_the_order_cannot_be_met() {
    let plan = plan(CURD);
    let reason = plan.run.cannot.as_ref().map(|c| escaped(&c.reason)).unwrap_or_default();
    for sheet in sheets(&plan) {
        assert!(
            sheet.html.contains("Local law and a licensed authority decide"),
            "{}",
            sheet.file_name
        );
        assert!(sheet.html.contains(&reason), "{}", sheet.file_name);
    }
}

#[test]
fn nothing_comes_from_outside_and_nothing_runs() {
    for sheet in sheets(&plan(CURD)) {
        let html = sheet.html.replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
        for banned in [
            "http:", "https:", "<script", "<link", "<img", "url(", "@import", "src=", "onload",
        ] {
            assert!(!html.contains(banned), "{banned} in {}", sheet.file_name);
        }
    }
}

#[test]
fn no_celsius_stands_without_its_fahrenheit() {
    for sheet in sheets(&plan(CURD)) {
        let body = sheet.html.split("</head>").nth(1).unwrap_or_default();
        for (at, _) in body.match_indices(" °C") {
            let after: String = body[at..].chars().take(60).collect();
            assert!(after.contains("°F"), "{}: {after}", sheet.file_name);
        }
    }
}

#[test]
fn no_food_is_called_by_words_that_promise() {
    for sheet in sheets(&plan(CURD)) {
        let words = sheet.html.to_lowercase();
        assert!(
            !words.contains("sterile") && !words.contains(" safe"),
            "{}",
            sheet.file_name
        );
    }
}

#[test]
fn the_stove_card_has_the_numbers_of_the_run() {
    let sheets = sheets(&plan(CURD));
    let card: String = named(&sheets, "stove-card").map(|s| s.html.as_str()).collect();
    for needed in [
        "0 °C (32 °F)",
        "94.9 °C (202.9 °F)",
        "1609 m (5279 ft)",
        "77 °C (171 °F)",
        "82.2 °C (180 °F)",
        "58 %",
        "25 min",
        "no tested time",
        "8 jars worth into shallow pans over ice",
        "24 h after it left the bath",
        "within a day or two (USDA), within a week (Kansas State)",
        "Back to a full boil, then the full time again",
        "Hold the whole batch, cold",
    ] {
        assert!(card.contains(needed), "{needed}");
    }
}

#[test]
fn each_lot_has_a_label_and_open_points_stand_outside_it() {
    let plan = plan(CURD);
    let sheets = sheets(&plan);
    let labels: String = named(&sheets, "labels").map(|s| s.html.as_str()).collect();
    let cuts: Vec<&str> = labels
        .split("<article class=\"cut\">")
        .skip(1)
        .map(|c| c.split("</article>").next().unwrap_or_default())
        .collect();
    assert_eq!(cuts.len(), plan.labels[0].lots.len() + 1);
    for lot in &plan.labels[0].lots {
        assert!(cuts.iter().any(|c| c.contains(lot.as_str())));
    }
    for point in &plan.labels[0].open_points {
        assert!(labels.contains(point.as_str()) && cuts.iter().all(|c| !c.contains(point.as_str())));
    }
}

#[test]
fn pictures_are_described_for_those_who_do_not_see_them() {
    let sheets = sheets(&plan(CURD));
    for start in ["clock", "process-lemon-curd"] {
        let html: String = named(&sheets, start).map(|s| s.html.as_str()).collect();
        let pictures: Vec<&str> = html.split("<svg class=\"picture\"").skip(1).collect();
        assert!(!pictures.is_empty(), "{start}");
        for picture in pictures {
            assert!(
                picture.contains("role=\"img\"") && picture.contains("<title id=") && picture.contains("<desc id=")
            );
        }
    }
}

#[test]
fn a_schedule_from_memory_and_every_departure_are_said() {
    let plan = plan(CURD);
    let sheets = sheets(&plan);
    for (sheet, process) in named(&sheets, "process-").zip(&plan.process) {
        for departure in &process.departures {
            assert!(sheet.html.contains(&escaped(departure)));
        }
        let memory = process.schedule.as_ref().is_some_and(|s| s.from_memory);
        assert_eq!(sheet.html.contains("Known only from memory"), memory);
        for verdict in plan.verdicts.iter().filter(|v| v.formula == process.formula) {
            assert!(verdict.reasons.iter().all(|r| sheet.html.contains(&escaped(&r.text))));
        }
    }
}

#[test]
fn file_names_differ_even_when_a_formula_is_ordered_twice() {
    let mut twice = plan(CURD);
    let again = twice.weigh[0].clone();
    twice.weigh.push(again);
    let mut names: Vec<String> = sheets(&twice).into_iter().map(|s| s.file_name).collect();
    let all = names.len();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), all);
}

#[test]
fn an_empty_plan_and_numbers_that_are_none_still_print() {
    let mut odd = plan("");
    for batch in &mut odd.batches {
        batch.stop_at = Some(fixture::exact(f64::NAN, jarwright_figure::Unit::Celsius));
        batch.numbers = (7, 3);
    }
    for process in &mut odd.process {
        if let Some(cold) = &mut process.cold_spot {
            cold.curve = vec![(f64::NAN, 1.0), (0.0, f64::INFINITY)];
        }
    }
    odd.clock.steps.iter_mut().for_each(|s| s.at = "noon".into());
    assert!(sheets(&odd).iter().all(|s| fault(&s.html).is_none()));
    odd.weigh.clear();
    odd.batches.clear();
    odd.loads.clear();
    odd.process.clear();
    odd.verdicts.clear();
    odd.clock.steps.clear();
    odd.labels.clear();
    odd.run.orders.clear();
    assert!(sheets(&odd).iter().all(|s| fault(&s.html).is_none()));
}

#[test]
fn sheets_can_be_written_and_read_again() -> std::io::Result<()> {
    let folder = std::env::temp_dir().join("jarwright-papers");
    std::fs::create_dir_all(&folder)?;
    for sheet in sheets(&plan(CURD)) {
        let file = folder.join(&sheet.file_name);
        std::fs::write(&file, &sheet.html)?;
        assert_eq!(std::fs::read_to_string(&file)?, sheet.html);
    }
    Ok(())
}
