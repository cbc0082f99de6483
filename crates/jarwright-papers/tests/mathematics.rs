//! Every equation the program computes with, as MathML: whole, well-formed, and of MathML Core.

use jarwright_figure::Equation;
use jarwright_papers::mathematics::equation;
use proptest::prelude::*;
use roxmltree::{Document, Node};

type Any = Box<dyn std::error::Error>;

fn registered() -> Vec<&'static Equation> {
    [
        jarwright_matter::EQUATIONS,
        jarwright_heat::EQUATIONS,
        jarwright_dose::EQUATIONS,
        jarwright_kitchen::EQUATIONS,
    ]
    .concat()
}

fn mathml(text: &str) -> String {
    equation(text).into_string()
}

/// Printed signs and the words or signs of the plain text that they stand for.
const PRINTED: [(char, &str); 25] = [
    ('−', "-"),
    ('×', "x"),
    ('≤', "<="),
    ('≥', ">="),
    ('…', "..."),
    ('′', "'"),
    ('″', "''"),
    ('∑', "sum"),
    ('∏', "product"),
    ('∫', "integralof"),
    ('⟨', "<"),
    ('⟩', ">"),
    ('Δ', "Delta"),
    ('α', "alpha"),
    ('β', "beta"),
    ('γ', "gamma"),
    ('δ', "delta"),
    ('η', "eta"),
    ('θ', "theta"),
    ('λ', "lambda"),
    ('μ', "mu"),
    ('ν', "nu"),
    ('π', "pi"),
    ('ρ', "rho"),
    ('φ', "phi"),
];

/// The plain text that MathML was written from, without room, grouping and script signs.
fn read_back(node: Node<'_, '_>, out: &mut String) {
    let name = node.tag_name().name();
    if name == "msqrt" {
        out.push_str("sqrt");
    }
    for (place, child) in node.children().enumerate() {
        if name == "mfrac" && place == 1 {
            out.push('/');
        }
        if child.is_text() {
            for c in child.text().unwrap_or_default().chars() {
                match PRINTED.iter().find(|(printed, _)| *printed == c) {
                    Some((_, plain)) => out.push_str(plain),
                    None => out.push(c),
                }
            }
        } else {
            read_back(child, out);
        }
    }
}

/// What has to come through: all but room, round brackets (a fraction bar or a raised place
/// stands for them) and the signs of indices and powers.
fn bare(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '(' | ')' | '^' | '_'))
        .collect()
}

fn back(text: &str) -> Result<String, roxmltree::Error> {
    let xml = mathml(text);
    let document = Document::parse(&xml)?;
    let mut out = String::new();
    read_back(document.root_element(), &mut out);
    // What is printed as a sign in the text itself reads back as its word.
    Ok(bare(&out))
}

#[test]
fn no_letter_digit_or_sign_of_any_equation_is_swallowed() -> Result<(), Any> {
    for equation in registered() {
        assert_eq!(back(equation.text)?, bare(equation.text), "{}", equation.key);
    }
    Ok(())
}

#[test]
fn only_what_mathml_core_has_is_written() -> Result<(), Any> {
    // MathML Core, elements and attributes used here:
    // https://www.w3.org/TR/mathml-core/ sections 2.1.3, 2.2.1 and 3.
    const ELEMENTS: [&str; 16] = [
        "math", "mtable", "mtr", "mtd", "mrow", "mi", "mn", "mo", "mtext", "mspace", "mfrac", "msqrt", "msub", "msup",
        "msubsup", "munder",
    ];
    const ATTRIBUTES: [&str; 10] = [
        "display",
        "displaystyle",
        "alttext",
        "aria-label",
        "form",
        "lspace",
        "rspace",
        "stretchy",
        "width",
        "mathvariant",
    ];
    for equation in registered() {
        let xml = mathml(equation.text);
        for node in Document::parse(&xml)?.descendants().filter(Node::is_element) {
            let name = node.tag_name().name();
            assert!(ELEMENTS.contains(&name), "{name} in {}", equation.key);
            for attribute in node.attributes() {
                assert!(
                    ATTRIBUTES.contains(&attribute.name()),
                    "{} in {}",
                    attribute.name(),
                    equation.key
                );
                let core = attribute.name() != "mathvariant" || (name == "mi" && attribute.value() == "normal");
                assert!(core, "mathvariant in {}", equation.key);
            }
            let children = node.children().filter(Node::is_element).count();
            let wanted = match name {
                "mfrac" | "msub" | "msup" | "munder" => 2,
                "msubsup" => 3,
                _ => children,
            };
            assert_eq!(children, wanted, "{name} in {}", equation.key);
        }
    }
    Ok(())
}

/// The element names of a text, nested, with their letters: enough to tell how it was read.
fn shape(text: &str) -> Result<String, Any> {
    fn told(node: Node<'_, '_>) -> String {
        if node.is_text() {
            return node.text().unwrap_or_default().to_owned();
        }
        let name = node.tag_name().name();
        let inside: Vec<String> = node.children().map(told).filter(|told| !told.is_empty()).collect();
        match name {
            "mspace" => String::new(),
            "mfrac" | "msub" | "msup" | "msubsup" | "munder" | "msqrt" => format!("{name}[{}]", inside.join("|")),
            "mtr" => format!("{}\n", inside.concat()),
            _ => inside.concat(),
        }
    }
    let xml = mathml(text);
    let document = Document::parse(&xml)?;
    Ok(told(document.root_element()))
}

#[test]
fn an_equation_is_read_as_a_physicist_reads_it() -> Result<(), Any> {
    for (text, read) in [
        ("a/b c", "mfrac[a|b]c"),
        ("m c / (n d)", "mfrac[mc|nd]"),
        (
            "1 - 8/pi^2 sum exp(-n^2)/n^2",
            "1−mfrac[8|msup[π|2]]∑mfrac[exp(−msup[n|2])|msup[n|2]]",
        ),
        ("4 sin z/(2 z + sin 2 z)", "4mfrac[sinz|2z+sin2z]"),
        ("Ra^(1/6)", "msup[Ra|1/6]"),
        ("10^((T - T_ref)/z)", "msup[10|(T−msub[T|ref])/z]"),
        ("10^-pH W", "msup[10|−pH]W"),
        ("2 sqrt(k/t)", "2msqrt[mfrac[k|t]]"),
        ("dT_w/dt", "mfrac[dmsub[T|w]|dt]"),
        ("x_(l) < q", "msub[x|(l)]<q"),
        ("d/dr(r k)", "mfrac[d|dr](rk)"),
        ("sum_c m_c", "munder[∑|c]msub[m|c]"),
        ("(a + b)^2 (c)", "msup[(a+b)|2](c)"),
        ("J0(b) = 0", "msub[J|0](b)=0"),
        ("rho_v(T_s)", "msub[ρ|v](msub[T|s])"),
        ("Delta H_1/Delta T_1", "mfrac[Δmsub[H|1]|Δmsub[T|1]]"),
        ("n = mass left / mass of a jar", "n=mfrac[mass left|mass of a jar]"),
        ("h  [W/(m2 K)]", "h[W/(msup[m|2]K)]"),
        ("470 kJ/mol", "470kJ/mol"),
        ("0.0040/s at 70 °C", "0.0040/sat70°C"),
        ("50 x 2 m a", "50×2ma"),
        ("ln 10 x sum m", "ln10×∑m"),
        ("a/sum (b/c)^2", "mfrac[a|∑msup[(mfrac[b|c])|2]]"),
        ("a = b; c", "a=b;\nc\n"),
    ] {
        assert_eq!(shape(text)?, read, "{text}");
    }
    Ok(())
}

proptest! {
    #[test]
    fn any_text_comes_through_whole(text in "[a-zA-Z0-9 ()\\[\\]/^_+=<>|,;:.'%°-]{0,80}") {
        let back = back(&text)?;
        prop_assert_eq!(back, bare(&text));
    }

    #[test]
    fn any_nesting_is_bounded(depth in 0_usize..3000) {
        let text = format!("{}x{}", "(".repeat(depth), ")".repeat(depth));
        prop_assert_eq!(back(&text)?, "x");
    }
}
