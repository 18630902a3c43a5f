//! A stretch of the web with windows: equal posts side by side between two rigid bars.

use crate::{
    torsion::{torsion_constant_mm4, torsion_stress_mpa},
    web_beam::{WebBeam, WebState},
    web_displacement::{PointDisplacement, WorkingLoad},
};

/// Posts of one size in a row along the tool. If the real posts differ, the thinnest represents all of them, so that
/// displacements and strains are upper bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WebPosts {
    /// One post, with its own depth; its lever is measured from its end.
    pub post: WebBeam,
    /// Number of posts.
    pub count: u32,
    /// Distance from the middle of the first post to that of the last, mm.
    pub apart_mm: f64,
}

impl WebPosts {
    /// Returns a beam without windows.
    pub fn without_windows(beam: WebBeam) -> Self {
        Self { post: beam, count: 1, apart_mm: 0.0 }
    }

    /// Returns the state under a force across, as [`WebBeam::state_under`] does. Each post takes its share of the
    /// force.
    ///
    /// The posts resist the twist by twisting themselves. The outermost ones also bend against each other as guided
    /// beams.
    pub fn state_under(&self, force_n: f64, ahead_mm: f64, modulus_mpa: f64, poisson: f64) -> WebState {
        if self.count < 2 || self.post.length_mm <= 0.0 {
            return self.post.state_under(force_n / f64::from(self.count), ahead_mm, modulus_mpa, poisson);
        }
        let count = f64::from(self.count);
        let (l, w, d) = (self.post.length_mm, self.post.width_mm, self.post.depth_mm);
        let level = self.post.state_under(force_n / count, 0.0, modulus_mpa, poisson);
        let bending = modulus_mpa * d * w.powi(3) / 12.0;
        let twist = modulus_mpa / (2.0 * (1.0 + poisson)) * torsion_constant_mm4(w, d);
        // The bars that hold the posts give way as well: this counts as posts longer by their own width.
        let guided = 12.0 * bending / (l + w).powi(3);
        let (by_twist, by_bending) = (count * twist / l, 0.5 * guided * self.apart_mm * self.apart_mm);
        // Plane ends make short posts stiffer than the free twist of a whole block, which a web without windows is
        // taken to have: windows must never make the web stiffer than that.
        let block = modulus_mpa / (2.0 * (1.0 + poisson)) * torsion_constant_mm4(w, self.apart_mm + d) / l;
        let turn_rad = force_n * ahead_mm / (by_twist + by_bending).min(block);
        let torque_nmm = (turn_rad * twist / l).abs();
        let side_n = (turn_rad * by_bending / self.apart_mm).abs();
        let bending_strain = level.bending_strain + 0.5 * side_n * l * 0.5 * w / bending;
        let twist_mpa = torsion_stress_mpa(torque_nmm, w, d);
        let shear_mpa = twist_mpa + 1.5 * (force_n.abs() / count + side_n) / (w * d);
        let shear_as_strain = |mpa: f64| 3.0_f64.sqrt() * mpa / modulus_mpa;
        let strain = bending_strain.hypot(shear_as_strain(twist_mpa)).max(shear_as_strain(shear_mpa));
        WebState { bending_strain, shear_mpa, strain, turn_rad, ..level }
    }

    /// Returns the displacement of the point where the force across acts, as [`WebBeam::displacement`] does.
    ///
    /// In the web's plane the outermost posts resist the moment by stretching. All posts resist the push along the tool
    /// by bending as guided beams.
    pub fn displacement(&self, load: &WorkingLoad, modulus_mpa: f64, poisson: f64) -> PointDisplacement {
        let count = f64::from(self.count);
        let share = WorkingLoad { across_n: load.across_n / count, along_n: load.along_n / count, at_mm: load.at_mm };
        let alone = self.post.displacement(&share, modulus_mpa, poisson);
        if self.count < 2 {
            return alone;
        }
        let (l, a, ahead) = (self.post.length_mm, self.post.lever_mm, load.at_mm);
        let area_mm2 = self.post.width_mm * self.post.depth_mm;
        let bending = modulus_mpa * 0.5 * area_mm2 * self.apart_mm * self.apart_mm;
        let post = modulus_mpa * area_mm2 * self.post.depth_mm * self.post.depth_mm / 12.0;
        let shear = modulus_mpa / (2.0 * (1.0 + poisson)) * area_mm2;
        let tilt = load.across_n * ahead * l / bending;
        let push = load.along_n;
        PointDisplacement {
            sideways: self.state_under(load.across_n, ahead, modulus_mpa, poisson).displacement_mm(ahead),
            in_plane: [
                load.across_n * l / (modulus_mpa * count * area_mm2) + tilt * ahead,
                load.across_n * ahead * l * (0.5 * l + a) / bending,
            ],
            pushed: [
                push * l * (0.5 * l + a) / bending * ahead,
                push * ((l * l * l / 3.0 + l * l * a + l * a * a) / bending)
                    + push * (l * l * l / (12.0 * post) + 1.2 * l / shear) / count,
            ],
        }
    }

    /// Greatest strain in the web's plane. The force along the tool bends every post. Both that force and a force
    /// across that acts along the web stretch the outermost posts.
    pub fn strain_in_plane(&self, load: &WorkingLoad, modulus_mpa: f64) -> f64 {
        let (l, a) = (self.post.length_mm, self.post.lever_mm);
        let area_mm2 = self.post.width_mm * self.post.depth_mm;
        let count = f64::from(self.count);
        let moment = load.across_n.abs() * load.at_mm.abs() + load.along_n.abs() * (l + a);
        let section = self.post.width_mm * self.post.depth_mm * self.post.depth_mm / 6.0;
        let direct = load.across_n.abs() / count / area_mm2;
        if self.count < 2 {
            return (moment / section + direct) / modulus_mpa;
        }
        let stretched = moment / self.apart_mm / area_mm2;
        let bent = load.along_n.abs() * l / (2.0 * count) / section;
        (direct + stretched + bent) / modulus_mpa
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOAD: WorkingLoad = WorkingLoad { across_n: 3.0, along_n: 2.0, at_mm: 30.0 };

    #[test]
    fn one_post_is_the_beam() {
        let beam = WebBeam { length_mm: 8.0, width_mm: 6.0, depth_mm: 12.0, lever_mm: 7.0 };
        assert_eq!(
            WebPosts::without_windows(beam).displacement(&LOAD, 1900.0, 0.38),
            beam.displacement(&LOAD, 1900.0, 0.38)
        );
    }

    /// Posts cut out of a block give way at least as far as the block, and more the thinner they are.
    #[test]
    fn posts_are_softer_than_the_block_that_they_are_cut_from() {
        let block = WebBeam { length_mm: 8.0, width_mm: 6.0, depth_mm: 30.0, lever_mm: 7.0 };
        let mut before = block.displacement(&LOAD, 1900.0, 0.38).greatest_mm();
        for depth_mm in [12.0, 8.0, 5.0, 3.0] {
            let post = WebBeam { depth_mm, ..block };
            let posts = WebPosts { post, count: 2, apart_mm: 30.0 - depth_mm };
            let found = posts.displacement(&LOAD, 1900.0, 0.38).greatest_mm();
            assert!(found > before, "{depth_mm}: {found} against {before}");
            before = found;
        }
    }

    /// A portal of two guided posts under a push at its bar, by hand: F l³ / (24 E I), and their ends strain by
    /// F l / 4 over the section. Handbook of frames with a rigid bar, from memory.
    #[test]
    fn two_posts_are_a_portal() {
        let post = WebBeam { length_mm: 10.0, width_mm: 6.0, depth_mm: 3.0, lever_mm: 0.0 };
        // So far apart that their own length hardly changes.
        let posts = WebPosts { post, count: 2, apart_mm: 1e6 };
        let load = WorkingLoad { across_n: 0.0, along_n: 4.0, at_mm: 0.0 };
        let inertia = 6.0 * 27.0 / 12.0;
        let shear = 1.2 * 4.0 * 10.0 / (2000.0 / 2.6 * 36.0);
        let moved = posts.displacement(&load, 2000.0, 0.3).pushed[1];
        assert!((moved - 4.0 * 1000.0 / (24.0 * 2000.0 * inertia) - shear).abs() < 1e-9, "{moved}");
        let strain = posts.strain_in_plane(&load, 2000.0);
        assert!((strain - 4.0 * 10.0 / 4.0 / (6.0 * 9.0 / 6.0) / 2000.0).abs() < 1e-8, "{strain}");
    }
}
