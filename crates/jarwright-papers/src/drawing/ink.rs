//! The inks of all pictures: what a page's stylesheet sets, and what stands in the picture itself.
//!
//! A picture carries its colours twice. Its presentation attributes are black and grey on white:
//! they serve a file by itself and a printed sheet. Its class names let a page's stylesheet
//! override them, so that the same picture follows a light or a dark theme without any style
//! inside it. A page may set the custom properties anew; their names begin with `--picture-`.

macro_rules! light {
    () => {
        "--picture-ground:#ffffff;--picture-ink:#000000;--picture-hair:#8c8c8c;--picture-pale:#dddddd;\
         --picture-dark:#444444;--picture-band:#d4d4d4;\
         --picture-heat-0:#fff4f3;--picture-heat-1:#f1d7d6;--picture-heat-2:#e2bbb9;--picture-heat-3:#d29f9c;\
         --picture-heat-4:#c28481;--picture-heat-5:#b26966;--picture-heat-6:#a14d4d;--picture-heat-7:#8f3134;\
         --picture-heat-8:#7c091a;"
    };
}

macro_rules! dark {
    () => {
        "--picture-ground:#15171a;--picture-ink:#f2f0ea;--picture-hair:#7a8189;--picture-pale:#3b4147;\
         --picture-dark:#b9bcc0;--picture-band:#3b4147;\
         --picture-heat-0:#382221;--picture-heat-1:#582f2e;--picture-heat-2:#783e3d;--picture-heat-3:#974f4d;\
         --picture-heat-4:#b46361;--picture-heat-5:#ce7a78;--picture-heat-6:#e59491;--picture-heat-7:#f7b2ae;\
         --picture-heat-8:#fcd4d2;"
    };
}

/// Rules for a page's stylesheet, so that pictures follow its theme.
///
/// Dark where the reader's system asks for it or `data-theme="dark"` stands on the root element;
/// `data-theme="light"` keeps it light; print is light always. `.picture-roll` around a picture
/// lets a wide one roll sideways instead of shrinking out of reading; `.room-narrow` and
/// `.room-wide` (see [`super::in_both_rooms`]) show the one that fits; `.film` is
/// [`super::film`]'s, which prints as its strip.
pub const PICTURE_CSS: &str = concat!(
    ":root{",
    light!(),
    "}\n@media screen and (prefers-color-scheme:dark){:root:not([data-theme=light]){",
    dark!(),
    "}}\n@media screen{:root[data-theme=dark]{",
    dark!(),
    "}}\n",
    ".picture{display:block;max-width:100%;height:auto;fill:var(--picture-ink)}\n\
     .picture-roll{overflow-x:auto}.picture-roll>.picture{max-width:none}\n\
     .ink-words{fill:var(--picture-ink)}\n\
     .ink-ground,.ink-on-solid{fill:var(--picture-ground)}\n\
     .ink-line{stroke:var(--picture-ink)}\n\
     .ink-hair{stroke:var(--picture-hair)}\n\
     .ink-halo,.ink-on-deep{stroke:var(--picture-ground)}\n\
     .ink-on-pale{stroke:var(--picture-ink)}\n\
     .ink-open{fill:var(--picture-ground);stroke:var(--picture-ink)}\n\
     .ink-pale{fill:var(--picture-pale);stroke:var(--picture-ink)}\n\
     .ink-dark{fill:var(--picture-dark);stroke:var(--picture-ink)}\n\
     .ink-solid{fill:var(--picture-ink);stroke:var(--picture-ink)}\n\
     .ink-band{fill:var(--picture-band)}\n\
     .ink-heat-0{fill:var(--picture-heat-0)}.ink-heat-1{fill:var(--picture-heat-1)}\
     .ink-heat-2{fill:var(--picture-heat-2)}.ink-heat-3{fill:var(--picture-heat-3)}\
     .ink-heat-4{fill:var(--picture-heat-4)}.ink-heat-5{fill:var(--picture-heat-5)}\
     .ink-heat-6{fill:var(--picture-heat-6)}.ink-heat-7{fill:var(--picture-heat-7)}\
     .ink-heat-8{fill:var(--picture-heat-8)}\n\
     @media print{.picture-roll{overflow:visible}.picture-roll>.picture{max-width:100%}}\n\
     @media screen{.film{display:grid;gap:0 24px;grid-template-columns:repeat(auto-fit,minmax(min(100%,340px),360px))}}\n\
     .film-strip{grid-column:1/-1}.film-frame[hidden],.film:not(.film-ready) .film-frames{display:none}\n\
     @media screen{.film-ready .film-strip{display:none}}\n\
     @media print{.film-ready .film-frames,.film-cursor{display:none}}\n\
     .film-keys{margin:12px 0;display:grid;grid-template-columns:repeat(3,1fr);gap:8px}.film-keys input{grid-column:1/-1}\n\
     .film-keys button,.film-keys input{min-height:44px;font:inherit}\n\
     .film-keys button{color:inherit;background:var(--picture-pale);border:1px solid var(--picture-ink);border-radius:4px}\n\
     .film-run[aria-pressed=true]{font-weight:700;outline:2px solid var(--picture-ink);outline-offset:-4px}\n\
     @media screen and (max-width:779px){.room-wide{display:none}}\n\
     @media screen and (min-width:780px){.room-narrow{display:none}}\n\
     @media print{.room-narrow{display:none}}\n"
);

/// Fills of the temperature bands on paper, coldest first; the page's are in [`PICTURE_CSS`].
///
/// One hue, that of quinces, which are pale raw and red cooked; told apart by lightness alone.
pub(super) const HEAT: [&str; 9] = [
    "#fff4f3", "#f1d7d6", "#e2bbb9", "#d29f9c", "#c28481", "#b26966", "#a14d4d", "#8f3134", "#7c091a",
];

/// Bands a dark line stands out on; on deeper ones a contour is drawn in the ground's colour.
pub(super) const PALE_BANDS: usize = 5;

#[cfg(test)]
mod tests {
    use super::*;

    /// A theme's colours by name, read out of the stylesheet itself.
    fn theme(css: &str) -> Vec<(String, String)> {
        css.split(';')
            .filter_map(|rule| rule.trim().strip_prefix("--picture-")?.split_once(':'))
            .map(|(name, colour)| (name.to_owned(), colour.to_owned()))
            .collect()
    }

    fn colour(theme: &[(String, String)], name: &str) -> String {
        let found = theme.iter().find(|(n, _)| n == name);
        found.expect(name).1.clone()
    }

    /// Relative luminance: Web Content Accessibility Guidelines 2.2, definition.
    fn luminance(colour: &str) -> f64 {
        let channel = |at: usize| {
            let c = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap()) / 255.0;
            if c <= 0.04045 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    /// Contrast ratio of the same guidelines.
    fn contrast(a: &str, b: &str) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn contrast_is_that_of_the_guidelines() {
        // WCAG 2.2: black on white is 21:1; #767676 on white is the best known 4.5:1 grey.
        assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
        assert!((contrast("#767676", "#ffffff") - 4.54).abs() < 0.005);
    }

    #[test]
    fn lines_stand_out_three_to_one_and_words_seven_to_one_in_both_themes() {
        for theme in [theme(light!()), theme(dark!())] {
            let c = |name: &str| colour(&theme, name);
            for ground in ["ground", "pale", "band"] {
                assert!(contrast(&c("ink"), &c(ground)) >= 7.0, "words on {ground}");
            }
            assert!(contrast(&c("hair"), &c("ground")) >= 3.0);
            assert!(contrast(&c("dark"), &c("ground")) >= 3.0);
        }
    }

    #[test]
    fn a_contour_stands_out_from_the_bands_on_both_its_sides() {
        for theme in [theme(light!()), theme(dark!())] {
            for edge in 0..HEAT.len() - 1 {
                let ink = colour(&theme, if edge + 1 < PALE_BANDS { "ink" } else { "ground" });
                for band in [edge, edge + 1] {
                    let fill = colour(&theme, &format!("heat-{band}"));
                    assert!(contrast(&ink, &fill) >= 3.0, "edge {edge}, band {band}");
                }
            }
        }
    }

    #[test]
    fn bands_grow_steadily_away_from_the_ground_in_lightness() {
        for theme in [theme(light!()), theme(dark!())] {
            let ground = colour(&theme, "ground");
            let steps: Vec<f64> = (0..HEAT.len())
                .map(|i| contrast(&colour(&theme, &format!("heat-{i}")), &ground))
                .collect();
            assert!(steps.windows(2).all(|pair| pair[1] > 1.15 * pair[0]), "{steps:?}");
        }
    }

    #[test]
    fn a_file_by_itself_has_the_light_bands() {
        let light = theme(light!());
        for (i, fill) in HEAT.iter().enumerate() {
            assert_eq!(colour(&light, &format!("heat-{i}")), *fill);
        }
    }
}
