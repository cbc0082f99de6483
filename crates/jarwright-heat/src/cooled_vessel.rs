//! A vessel that food cools or freezes in, pan, tub, jar or bowl: body, films, surface.
//!
//! Read next: `media.rs` for the films, `slow_grid.rs` for the march.

use std::f64::consts::PI;

use jarwright_figure::{Equation, OutOfRange};

use crate::HeatError;
use crate::fitting::{Solid, round_alike};
use crate::heat_content::HeatTable;
use crate::media::{Medium, Stands, film_w_m2k, through_wall_w_m2k};
use crate::pham::section_ratios;
use crate::slow_grid::{Body, Face};

/// Registry entry of [`Vessel::faces`].
pub static VESSEL_FILM: Equation = Equation {
    key: "vessel-film",
    title: "Film round a vessel of food",
    text: "pan: open top and base each its own film; tub, jar, bowl: mean of side and base by area, nothing through the lid; \
           1/U = 1/h + wall/k",
    source: "incropera_heat_mass",
};

/// Emissivity of food, glass and plastic (`incropera_heat_mass`).
const EMISSIVITY: f64 = 0.9;
/// Emissivity of clean stainless steel (`incropera_heat_mass`, from memory).
const STEEL: f64 = 0.2;
/// Film on a face that passes nearly nothing [W/(m² K)]: the top of what stands in a bath of water.
const SHUT_W_M2K: f64 = 0.1;

/// What the food stands in. Sizes are those of the food.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Vessel {
    /// An open pan of metal, on a rack: cools through top and base.
    Pan {
        /// Depth, length and width of the food [m].
        sizes_m: [f64; 3],
    },
    /// A box with a lid: cools through sides and base.
    Tub {
        /// Depth, length and width of the food [m].
        sizes_m: [f64; 3],
    },
    /// A jar with a lid: cools through side and base.
    Jar {
        /// Depth of the food [m].
        depth_m: f64,
        /// Diameter of the food [m].
        across_m: f64,
    },
    /// A covered bowl of metal, a part of a ball: counted as a cylinder as deep and of the same volume.
    Bowl {
        /// Depth of the food [m].
        depth_m: f64,
        /// Diameter of the food's top [m].
        across_m: f64,
    },
}

/// What it stands in the middle of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Around {
    /// Air or water, and how fast.
    pub medium: Medium,
    /// Its temperature [°C].
    pub medium_c: f64,
    /// A film that was measured, instead of the correlations [W/(m² K)].
    pub film_w_m2k: Option<f64>,
}

/// A wall between food and medium.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Thickness [m]; 0 where it does not count.
    pub wall_m: f64,
    /// Conductivity [W/(m K)].
    pub wall_k_w_mk: f64,
}

impl Vessel {
    /// Whether its sizes are ones that the equations know: 5 mm to 1 m.
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] for the first that is not.
    pub fn check(&self) -> Result<(), HeatError> {
        let range = |what, got| OutOfRange::check(what, got, 0.005, 1.0, "m", VESSEL_FILM.key);
        match *self {
            Self::Pan { sizes_m } | Self::Tub { sizes_m } => {
                for (what, size) in ["depth", "length", "width"].into_iter().zip(sizes_m) {
                    range(what, size)?;
                }
            }
            Self::Jar { depth_m, across_m } => {
                range("depth", depth_m)?;
                range("diameter", across_m)?;
            }
            Self::Bowl { depth_m, across_m } => {
                range("depth", depth_m)?;
                // A bowl is at most half a ball.
                OutOfRange::check("diameter", across_m, 2.0 * depth_m, 1.0, "m", VESSEL_FILM.key)?;
            }
        }
        Ok(())
    }

    /// The same with another depth of food [m].
    #[must_use]
    pub fn with_depth(self, depth_m: f64) -> Self {
        match self {
            Self::Pan { sizes_m: [_, l, w] } => Self::Pan {
                sizes_m: [depth_m, l, w],
            },
            Self::Tub { sizes_m: [_, l, w] } => Self::Tub {
                sizes_m: [depth_m, l, w],
            },
            Self::Jar { across_m, .. } => Self::Jar { depth_m, across_m },
            Self::Bowl { across_m, .. } => Self::Bowl { depth_m, across_m },
        }
    }

    /// Volume of the food [m³].
    #[must_use]
    pub fn volume_m3(&self) -> f64 {
        match *self {
            Self::Pan { sizes_m } | Self::Tub { sizes_m } => sizes_m.iter().product(),
            Self::Jar { depth_m, across_m } => 0.25 * PI * across_m * across_m * depth_m,
            Self::Bowl { depth_m, across_m } => PI * depth_m * (0.75 * across_m * across_m + depth_m * depth_m) / 6.0,
        }
    }

    /// Surface through which it cools [m²].
    #[must_use]
    pub fn surface_m2(&self) -> f64 {
        match *self {
            Self::Pan { sizes_m: [_, l, w] } => 2.0 * l * w,
            Self::Tub { sizes_m: [d, l, w] } => l * w + 2.0 * d * (l + w),
            Self::Jar { depth_m, across_m } => PI * across_m * (depth_m + 0.25 * across_m),
            Self::Bowl { depth_m, across_m } => PI * (0.25 * across_m * across_m + depth_m * depth_m),
        }
    }

    /// Diameter of the cylinder it counts as, of a round vessel.
    fn round_m(&self) -> Option<(f64, f64)> {
        match *self {
            Self::Jar { depth_m, across_m } => Some((depth_m, across_m)),
            Self::Bowl { depth_m, .. } => Some((depth_m, (4.0 * self.volume_m3() / (PI * depth_m)).sqrt())),
            Self::Pan { .. } | Self::Tub { .. } => None,
        }
    }

    /// Faces as [`SlowGrid::run`](crate::slow_grid::SlowGrid::run) takes them: of a pan its top and base, of
    /// all others the mean in the second place.
    ///
    /// * `surfaces_c`: the food's surfaces [°C]; films are taken at them, which a wall makes a little too good
    ///
    /// # Errors
    /// Those of [`film_w_m2k`].
    ///
    /// # Source
    /// `incropera_heat_mass`.
    pub fn faces(&self, side: &Side, around: &Around, surfaces_c: (f64, f64)) -> Result<(Face, Face), HeatError> {
        let film = |stands, surface_c, emissivity| match around.film_w_m2k {
            Some(measured) => Ok(measured),
            None => film_w_m2k(around.medium, stands, surface_c, around.medium_c, emissivity),
        };
        let face = |film_w_m2k| Face {
            medium_c: around.medium_c,
            film_w_m2k,
        };
        let walled = |h| face(through_wall_w_m2k(h, side.wall_m, side.wall_k_w_mk));
        let (top, last) = surfaces_c;
        let in_water = matches!(around.medium, Medium::Water { .. });
        match *self {
            Self::Pan { sizes_m: [_, l, w] } => {
                let long_m = f64::min(l, w);
                let open = if in_water {
                    SHUT_W_M2K
                } else {
                    film(Stands::Up(long_m), top, EMISSIVITY)?
                };
                Ok((face(open), walled(film(Stands::Down(long_m), last, STEEL)?)))
            }
            Self::Tub { sizes_m: [d, l, w] } => {
                let (base, sides) = (l * w, 2.0 * d * (l + w));
                let heat = base * film(Stands::Down(f64::min(l, w)), last, EMISSIVITY)?
                    + sides * film(Stands::Upright(d), last, EMISSIVITY)?;
                let both = walled(heat / (base + sides));
                Ok((both, both))
            }
            Self::Jar { .. } | Self::Bowl { .. } => {
                let (high_m, across_m) = self.round_m().unwrap_or((0.05, 0.05));
                let emissivity = if matches!(self, Self::Jar { .. }) {
                    EMISSIVITY
                } else {
                    STEEL
                };
                let (base, round) = (0.25 * PI * across_m * across_m, PI * across_m * high_m);
                let heat = base * film(Stands::Down(across_m), last, emissivity)?
                    + round * film(Stands::Side { high_m, across_m }, last, emissivity)?;
                let both = walled(heat / (base + round));
                Ok((both, both))
            }
        }
    }

    /// The body that a grid marches. A lid passes nothing, so that a covered food is half of one twice as deep.
    ///
    /// * `film_w_m2k`: as [`Vessel::faces`] has it at the start, 1 to 20 000 W/(m² K)
    ///
    /// # Errors
    /// Those of [`Vessel::check`] and [`round_alike`].
    ///
    /// # Source
    /// As [`round_alike`].
    pub fn body(&self, film_w_m2k: f64, table: &HeatTable, start_c: f64) -> Result<Body, HeatError> {
        self.check()?;
        let solid = match *self {
            Self::Pan { sizes_m: [d, ..] } => return Ok(Body::Layer { thick_m: d }),
            Self::Tub { sizes_m: [d, l, w] } => Solid::Block {
                sizes_m: [f64::min(2.0 * d, 1.0), l, w],
            },
            Self::Jar { .. } | Self::Bowl { .. } => {
                let (depth_m, across_m) = self.round_m().unwrap_or((0.05, 0.05));
                Solid::ShortCylinder {
                    across_m,
                    high_m: f64::min(2.0 * depth_m, 1.0),
                }
            }
        };
        round_alike(&solid, film_w_m2k, table.k_w_mk(start_c))
    }

    /// Shortest way from the middle out [m], and the ratios of [`section_ratios`]; a lid as in [`Vessel::body`].
    #[must_use]
    pub fn ways(&self) -> (f64, [f64; 2]) {
        match *self {
            Self::Pan { sizes_m: [d, ..] } => (0.5 * d, [f64::INFINITY; 2]),
            Self::Tub { sizes_m: [d, l, w] } => {
                let mut sizes = [2.0 * d, l, w];
                sizes.sort_by(f64::total_cmp);
                let [a, b, c] = sizes;
                (0.5 * a, section_ratios(0.5 * a, a * b, a * b * c))
            }
            Self::Jar { .. } | Self::Bowl { .. } => {
                let (depth_m, across_m) = self.round_m().unwrap_or((0.05, 0.05));
                let way_m = f64::min(depth_m, 0.5 * across_m);
                let level = 0.25 * PI * across_m * across_m;
                let section_m2 = f64::min(level, 2.0 * depth_m * across_m);
                (way_m, section_ratios(way_m, section_m2, 2.0 * depth_m * level))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_ball_has_its_volume_and_surface() {
        let bowl = Vessel::Bowl {
            depth_m: 0.1,
            across_m: 0.2,
        };
        assert!((bowl.volume_m3() - 2.0 / 3.0 * PI * 1e-3).abs() < 1e-12);
        assert!((bowl.surface_m2() - 2.0 * PI * 0.01).abs() < 1e-12);
        let deep = Vessel::Bowl {
            depth_m: 0.2,
            across_m: 0.2,
        };
        assert!(deep.check().is_err());
    }

    #[test]
    fn a_measured_film_stands_in_for_the_correlations() -> Result<(), HeatError> {
        let jar = Vessel::Jar {
            depth_m: 0.08,
            across_m: 0.066,
        };
        let around = Around {
            medium: Medium::Air { speed_m_s: 0.0 },
            medium_c: 3.0,
            film_w_m2k: Some(25.0),
        };
        let bare = Side {
            wall_m: 0.0,
            wall_k_w_mk: 1.0,
        };
        let glass = Side {
            wall_m: 0.003,
            wall_k_w_mk: 1.05,
        };
        let film = |side: &Side| jar.faces(side, &around, (60.0, 60.0)).map(|(_, face)| face.film_w_m2k);
        assert!((film(&bare)? - 25.0).abs() < 1e-12);
        assert!((film(&glass)? - 1.0 / (1.0 / 25.0 + 0.003 / 1.05)).abs() < 1e-12);
        Ok(())
    }

    #[test]
    fn a_pan_in_a_bath_cools_through_its_base_alone() -> Result<(), HeatError> {
        let pan = Vessel::Pan {
            sizes_m: [0.05, 0.5, 0.3],
        };
        let around = Around {
            medium: Medium::Water { speed_m_s: 0.1 },
            medium_c: 0.5,
            film_w_m2k: None,
        };
        let bare = Side {
            wall_m: 0.0,
            wall_k_w_mk: 1.0,
        };
        let (top, base) = pan.faces(&bare, &around, (60.0, 60.0))?;
        assert!(top.film_w_m2k < 1.0 && base.film_w_m2k > 100.0);
        Ok(())
    }
}
