//! The walk from a figure to its leaves: each figure once, in bounds, and nothing lost on the way.

use std::collections::{BTreeMap, BTreeSet};

use jarwright_figure::{Basis, BasisView, Bound, Cited, Equation, Figure, Graph, Id, Leaf, Mark, Spread, Unit};
use jarwright_papers::why::{Below, Bounds, Step, lines, page, sheet, walk};
use roxmltree::{Document, Node};

type Any = Box<dyn std::error::Error>;

static SUM: Equation = Equation {
    key: "sum",
    title: "Sum of all",
    text: "y = a + b",
    source: "arithmetic",
};

fn sum(x: &[f64]) -> Result<f64, std::convert::Infallible> {
    Ok(x.iter().sum())
}

/// A figure of every basis: `top` from `mid` twice removed, `low` under both.
fn graph() -> Result<(Graph, Id), Any> {
    let mut graph = Graph::new();
    let entered = graph.entered("e", "good jars <ordered>", Unit::Celsius, 70.0, "--jars");
    let published = graph.published(
        "p",
        "pH of juice",
        Unit::Celsius,
        &Cited {
            value: 2.4,
            low: 2.2,
            high: 2.6,
            source: "fda_food_ph_list".into(),
            place: "limes".into(),
            mark: Mark::ThirdPartyCopy,
        },
    );
    let measured = graph.leaf(Leaf {
        key: "m".into(),
        name: "thermometer".into(),
        unit: Unit::Celsius,
        value: 77.0,
        spread: Spread::Instrument { half_width: 0.5 },
        basis: Basis::Measured {
            instrument: "probe 3".into(),
            by: "Ada, 09:00".into(),
        },
    });
    let low = graph.compute("low", Unit::Celsius, &SUM, &[entered, published], sum)?;
    let mid = graph.compute("mid", Unit::Celsius, &SUM, &[low, measured], sum)?;
    let top = graph.compute("top", Unit::Celsius, &SUM, &[mid, low, low], sum)?;
    Ok((graph, top))
}

fn quantities(graph: &Graph) -> BTreeMap<String, Figure> {
    graph.figures(graph.ids())
}

/// Handles told, handles referred to.
fn told(step: &Step<'_>, stepped: &mut Vec<String>, referred: &mut Vec<String>) {
    stepped.push(step.figure.id.clone());
    for input in &step.inputs {
        match input {
            Below::Step(below) => told(below, stepped, referred),
            Below::Told(figure) | Below::Further(figure) => referred.push(figure.id.clone()),
            Below::Missing(input) => referred.push(input.id.to_string()),
        }
    }
}

fn tree(bounds: Bounds) -> Result<(Vec<String>, Vec<String>), Any> {
    let (graph, top) = graph()?;
    let all = quantities(&graph);
    let (mut stepped, mut referred) = (Vec::new(), Vec::new());
    told(&walk(&graph.figure(top), &all, bounds), &mut stepped, &mut referred);
    Ok((stepped, referred))
}

#[test]
fn every_figure_behind_another_is_told_once_at_its_shallowest_place() -> Result<(), Any> {
    let (graph, top) = graph()?;
    let (stepped, referred) = tree(Bounds::LEAVES)?;
    let each: BTreeSet<&String> = stepped.iter().collect();
    assert_eq!(each.len(), stepped.len());
    assert_eq!(each.len(), graph.len());
    // `low` is an input of `top` itself; `mid` refers to it.
    let all = quantities(&graph);
    let step = walk(&all[&top.to_string()], &all, Bounds::LEAVES);
    assert!(matches!(&step.inputs[1], Below::Step(low) if low.figure.name == "low"));
    assert_eq!(referred.len(), 1);
    Ok(())
}

#[test]
fn a_walk_keeps_its_bounds_and_names_what_lies_beyond() -> Result<(), Any> {
    for depth in 0..4 {
        for figures in 1..8 {
            let (stepped, referred) = tree(Bounds { depth, figures })?;
            assert!(stepped.len() <= figures);
            assert!(depth > 0 || stepped.len() == 1);
            assert!(stepped.len() > 6 - 1 || !referred.is_empty());
        }
    }
    Ok(())
}

#[test]
fn a_figure_whose_inputs_are_not_there_says_so() -> Result<(), Any> {
    let (graph, top) = graph()?;
    let step = walk(&graph.figure(top), &BTreeMap::new(), Bounds::PAGE).inputs.len();
    assert_eq!(step, 3);
    let figure = graph.figure(top);
    let nothing = BTreeMap::new();
    let words = lines(&walk(&figure, &nothing, Bounds::PAGE), "");
    assert!(words.iter().any(|line| line.words.contains("nothing more is known")));
    Ok(())
}

#[test]
fn each_basis_says_all_it_knows_on_paper_and_in_text() -> Result<(), Any> {
    let (graph, top) = graph()?;
    let all = quantities(&graph);
    let step = walk(&all[&top.to_string()], &all, Bounds::LEAVES);
    let fragment = page(&step, "", &|handle| Some(format!("/why/{handle}"))).into_string();
    let document = Document::parse(&fragment)?;
    let printed: String = document
        .descendants()
        .filter(Node::is_text)
        .filter_map(|n| n.text())
        .collect();
    let told: String = lines(&step, "").into_iter().map(|line| line.words + "\n").collect();
    for words in [
        "good jars <ordered>",
        "Entered: --jars",
        "Measured: probe 3",
        "by: Ada, 09:00",
        "width of the instrument",
        "Published",
        "US Food and Drug Administration",
        "(2003)",
        "place: limes",
        "read only in somebody else",
        "of the document: read in third-party copies",
        "range printed in the source",
        "Computed: Sum of all (sum)",
        "9 of 10 cases",
        "what moves it most: ",
        "°F",
    ] {
        assert!(printed.contains(words), "{words} is not on paper");
        assert!(told.contains(words), "{words} is not in the text");
    }
    assert!(told.contains("y = a + b") && fragment.contains("<math"));
    Ok(())
}

#[test]
fn a_page_is_whole_by_keyboard_and_without_a_script() -> Result<(), Any> {
    let (graph, top) = graph()?;
    let all = quantities(&graph);
    let step = walk(&all[&top.to_string()], &all, Bounds::LEAVES);
    let fragment = page(&step, "", &|handle| Some(format!("/why/{handle}"))).into_string();
    let document = Document::parse(&fragment)?;
    let ids: BTreeSet<&str> = document.descendants().filter_map(|node| node.attribute("id")).collect();
    let count = document
        .descendants()
        .filter(|node| node.attribute("id").is_some())
        .count();
    assert_eq!(ids.len(), count, "an id stands twice");
    let mut level = 2;
    for node in document.descendants().filter(Node::is_element) {
        let name = node.tag_name().name();
        assert!(!matches!(name, "script" | "style" | "details"), "{name}");
        if let Some(href) = node.attribute("href") {
            let there = href.strip_prefix('#').is_none_or(|id| ids.contains(id));
            assert!(there, "{href} leads nowhere");
        }
        if let Some(heading) = name.strip_prefix('h').and_then(|digit| digit.parse::<u8>().ok()) {
            assert!(heading <= level + 1, "a heading of level {heading} follows {level}");
            level = heading;
        }
    }
    Ok(())
}

#[test]
fn a_chain_deeper_than_any_walk_ends_in_a_link() -> Result<(), Any> {
    let mut graph = Graph::new();
    let mut last = graph.entered("e", "first", Unit::One, 1.0, "test");
    for _ in 0..5_000 {
        last = graph.compute("next", Unit::One, &SUM, &[last], sum)?;
    }
    let all = quantities(&graph);
    let step = walk(&all[&last.to_string()], &all, Bounds::LEAVES);
    let fragment = page(&step, "", &|handle| Some(format!("/why/{handle}"))).into_string();
    // q5000 is the last; 64 steps down stands q4936, and what it took is a link.
    assert!(fragment.contains("/why/q4935") && !fragment.contains("q4934"));
    assert!(matches!(all[&last.to_string()].basis, BasisView::Computed { .. }));
    Ok(())
}

/// A pH held against a limit, both among the quantities.
fn held() -> (Graph, Id, Id) {
    let mut graph = Graph::new();
    let ph = graph.entered("ph", "pH of the food", Unit::Ph, 3.9, "test");
    let limit = graph.published(
        "limit",
        "limit of the pH",
        Unit::Ph,
        &Cited {
            value: 4.6,
            low: 4.6,
            high: 4.6,
            source: "cfr21_114".into(),
            place: "114.3(d)".into(),
            mark: Mark::Seen,
        },
    );
    graph.hold(ph, Bound::AtMost, limit);
    (graph, ph, limit)
}

#[test]
fn a_figure_and_its_limit_name_each_other_without_an_equation() -> Result<(), Any> {
    let (graph, ph, limit) = held();
    let all = quantities(&graph);
    for (of, other, words) in [
        (ph, limit, "held against, at most: limit of the pH: 4.60"),
        (limit, ph, "a limit, at most, of: pH of the food: 3.90"),
    ] {
        let step = walk(&all[&of.to_string()], &all, Bounds::PAGE);
        let fragment = page(&step, "", &|handle| Some(format!("/why/{handle}"))).into_string();
        let document = Document::parse(&fragment)?;
        let printed: String = document
            .descendants()
            .filter_map(|n| n.text().filter(|_| n.is_text()))
            .collect();
        assert!(printed.contains(words), "{printed}");
        assert!(printed.contains("inside it by 0.70"), "{printed}");
        assert!(fragment.contains(&format!("href=\"/why/{other}\"")), "{fragment}");
        assert!(
            lines(&step, "")
                .iter()
                .any(|line| line.words.starts_with(words.split(": ").next().unwrap_or("?")))
        );
        assert!(!fragment.contains("<math"));
    }
    let step = walk(&all[&limit.to_string()], &all, Bounds::PAGE);
    let said: Vec<String> = lines(&step, "").into_iter().map(|line| line.words).collect();
    for words in ["place: 114.3(d)", "[seen]", "cfr21_114"] {
        assert!(said.iter().any(|line| line.contains(words)), "{words}: {said:?}");
    }
    Ok(())
}

#[test]
fn the_sheet_stands_alone_prints_on_either_paper_and_is_dark_on_a_screen_only() -> Result<(), Any> {
    let (graph, top) = graph()?;
    let all = quantities(&graph);
    let step = walk(&all[&top.to_string()], &all, Bounds::LEAVES);
    let sheet = sheet(&step, "lime-curd, 48 jars", "");
    assert_eq!(sheet.file_name, format!("why-{top}.html"));
    let html = &sheet.html;
    assert!(html.starts_with("<!DOCTYPE html>") && html.contains("lime-curd, 48 jars"));
    for outside in ["<script", "http://", "https://", "<link", "@import", "url("] {
        let own = html.replace("http://www.w3.org/", "");
        assert!(!own.contains(outside), "{outside}");
    }
    // No size of paper is named, so the printer's own holds.
    let page_rule = html
        .split("@page")
        .nth(1)
        .and_then(|rest| rest.split('}').next())
        .ok_or("no page rule")?;
    assert!(!page_rule.contains("size"));
    // Whatever is dark is so on a screen only.
    for (at, _) in html.match_indices("prefers-color-scheme: dark") {
        assert!(html[..at].ends_with("@media screen and ("));
    }
    assert!(html.contains("alttext=\"y = a + b\""));
    let linked = |(at, _): (usize, &str)| html[at + 7..].split('"').next().unwrap_or_default();
    for place in html.match_indices("href=\"#").map(linked) {
        assert!(html.contains(&format!("id=\"{place}\"")), "{place} is not on the sheet");
    }
    assert!(!html.contains("href=\"/"));
    Ok(())
}
