//! Closed forms for the volume of a body of revolution with the section of a tyre's cavity.
//!
//! Only `+ - * /` and the constant pi: every platform gives the same bits. Lengths are in millimetres. This module must
//! not know tyres, units or uncertainty.

use std::f64::consts::PI;

/// Cubic millimetres in a litre.
const CUBIC_MM_PER_LITRE: f64 = 1e6;

/// A section standing on the rim: half an ellipse above the widest line, which lies at half height; below it the width
/// falls along a parabola to the width at the rim, flat at the widest line as the ellipse is.
#[derive(Debug, Clone, Copy)]
pub(super) struct CrossSection {
    /// Radius of the bead seat.
    pub(super) bead_radius: f64,
    /// Height from the bead seat to the inside of the crown.
    pub(super) height: f64,
    /// Width inside at the widest line.
    pub(super) width: f64,
    /// Width inside at the rim.
    pub(super) rim_width: f64,
}

impl CrossSection {
    /// The volume in litres, by the theorem of Pappus: 2 pi times the area's moment about the axle.
    pub(super) fn litres(self) -> f64 {
        let (lower, upper) = (self.height / 2.0, self.height / 2.0);
        let missing = self.width - self.rim_width;
        // Integrals of w - (w - a)(1 - z/m)^2 from 0 to m, and of z times the same.
        let lower_area = lower * (self.width - missing / 3.0);
        let lower_moment = lower * lower * (self.width / 2.0 - missing / 12.0);
        // Half an ellipse of width w and height q, whose centroid lies 4 q / (3 pi) above its base.
        let upper_area = PI / 4.0 * self.width * upper;
        let upper_moment = upper_area * lower + self.width * upper * upper / 3.0;
        let moment = self.bead_radius * (lower_area + upper_area) + lower_moment + upper_moment;
        2.0 * PI * moment / CUBIC_MM_PER_LITRE
    }
}

/// The space between two cylinders in litres: pi W H (2 r + H), the volume if the section were its enclosing rectangle.
pub(super) fn annulus_litres(bead_radius: f64, height: f64, width: f64) -> f64 {
    PI * width * height * (2.0 * bead_radius + height) / CUBIC_MM_PER_LITRE
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Plain sum over thin rings; knows only the shape of the section, not the closed form.
    fn sum_of_rings(section: CrossSection) -> f64 {
        let steps = 20_000_u32;
        let step = section.height / f64::from(steps);
        let half = section.height / 2.0;
        (0..steps)
            .map(|index| {
                let z = (f64::from(index) + 0.5) * step;
                let width = if z < half {
                    let from_top = 1.0 - z / half;
                    section.width - (section.width - section.rim_width) * from_top * from_top
                } else {
                    let up = z / half - 1.0;
                    section.width * (1.0 - up * up).sqrt()
                };
                2.0 * PI * (section.bead_radius + z) * width * step / 1e6
            })
            .sum()
    }

    proptest! {
        #[test]
        fn closed_form_agrees_with_a_sum_of_rings(
            bead_radius in 50.0..800.0_f64, height in 30.0..700.0_f64, width in 50.0..900.0_f64, rim_share in 0.3..1.2_f64,
        ) {
            let section = CrossSection { bead_radius, height, width, rim_width: width * rim_share };
            let (closed, summed) = (section.litres(), sum_of_rings(section));
            prop_assert!((closed - summed).abs() < 1e-5 * summed, "{} and {}", closed, summed);
        }

        /// Wider at the belly or the rim, taller, or on a larger rim: never less room.
        #[test]
        fn every_length_makes_room(
            bead_radius in 50.0..800.0_f64, height in 30.0..700.0_f64, width in 50.0..900.0_f64, rim_share in 0.3..1.2_f64,
            more in 0.1..50.0_f64,
        ) {
            let base = CrossSection { bead_radius, height, width, rim_width: width * rim_share };
            let larger = [
                CrossSection { bead_radius: bead_radius + more, ..base },
                CrossSection { height: height + more, ..base },
                CrossSection { width: width + more, ..base },
                CrossSection { rim_width: base.rim_width + more, ..base },
            ];
            for other in larger {
                prop_assert!(other.litres() > base.litres());
            }
            prop_assert!(base.rim_width > width || base.litres() < annulus_litres(bead_radius, height, width));
        }
    }

    /// With the rim as wide as the belly and half an ellipse above: the textbook volumes of a cylinder ring and of half
    /// a torus of elliptical section (Pappus), written out independently.
    #[test]
    fn known_solids() {
        let section = CrossSection { bead_radius: 300.0, height: 200.0, width: 250.0, rim_width: 250.0 };
        let ring = annulus_litres(300.0, 100.0, 250.0);
        let centroid = 400.0 + 4.0 * 100.0 / (3.0 * PI);
        let half_torus = 2.0 * PI * centroid * (PI / 4.0 * 250.0 * 100.0) / 1e6;
        assert!((section.litres() - ring - half_torus).abs() < 1e-9);
    }
}
