//! One arm as a chain of geometrically exact beam elements.
//!
//! Reissner's planar beam: sections stay plane, displacements and rotations may be of any size. Elements have two nodes
//! and one integration point. The section is Winkler's (curved, of plane strain modulus 1), the shear factor 5/6.

use gripwright_section::Point;

use super::{
    arm_mesh::ArmMesh,
    block_chain::{BlockChain, NodeBlock, NodeVector},
    element_turn::ElementTurn,
};
use crate::{flexure::shear_flexibility, winkler::section_stiffness};

/// A beam element between two nodes, at unit modulus and unit width.
#[derive(Clone, Copy, Debug)]
struct Element {
    chord: Point,
    length: f64,
    /// Direction of the chord, and one over its length: divisions cost more than all the rest of a deformation.
    along: Point,
    per_mm: f64,
    stretch: f64,
    couple: f64,
    bend: f64,
    shear: f64,
    wall: f64,
    curvature: f64,
    /// Length of centreline from the clamp to the element's middle, mm.
    run: f64,
}

/// Strains of the centreline of an element (stretch, shear, change of curvature) and the direction of its turned chord.
#[derive(Clone, Copy, Debug)]
struct Deformation {
    stretch: f64,
    shear: f64,
    bend: f64,
    cos: f64,
    sin: f64,
}

/// Deformation of an element with its normal and its shear force: what its forces and its tangent have in common.
#[derive(Clone, Copy, Debug)]
pub(crate) struct StrainedElement {
    at: Deformation,
    normal: f64,
    shear: f64,
}

/// The elements of an arm. The first node is clamped and not an unknown.
#[derive(Clone, Debug)]
pub(crate) struct Beam {
    elements: Vec<Element>,
    strain_site: StrainSite,
}

/// Place from which on strain counts: nearer to the clamp the corner of the pad falsifies it.
#[derive(Clone, Copy, Debug)]
struct StrainSite {
    /// Element before the site, and the share of the next element in the interpolation there.
    element: usize,
    share: f64,
    /// Length of centreline from the clamp, mm.
    run: f64,
}

/// Strains of an arm's faces in one equilibrium.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct FaceStrains {
    /// Greatest strain on the inner face; tension is positive.
    pub(crate) inner: f64,
    /// Least strain on the outer face.
    pub(crate) outer: f64,
    /// Greatest absolute strain on either face.
    pub(crate) greatest: f64,
    /// Place of that strain: length of centreline from the clamp, mm.
    pub(crate) from_clamp_mm: f64,
    /// True if that strain is on the inner face.
    pub(crate) on_inner_face: bool,
}

impl Beam {
    pub(crate) fn new(mesh: &ArmMesh, poisson: f64) -> Self {
        let mut run = 0.0;
        let elements: Vec<Element> = mesh
            .segments
            .iter()
            .zip(mesh.nodes.windows(2))
            .map(|(segment, ends)| {
                let chord = ends[1] - ends[0];
                let length = chord.length();
                let section = section_stiffness(segment.wall_mm, segment.curvature_per_mm);
                run += length;
                Element {
                    chord,
                    length,
                    along: chord * (1.0 / length),
                    per_mm: 1.0 / length,
                    stretch: section.stretch,
                    couple: section.couple,
                    bend: section.bend,
                    shear: 1.0 / shear_flexibility(segment.wall_mm, poisson),
                    wall: segment.wall_mm,
                    curvature: segment.curvature_per_mm,
                    run: run - 0.5 * length,
                }
            })
            .collect();
        let site = elements.iter().take_while(|e| e.run <= mesh.strain_from_mm).count().saturating_sub(1);
        let share = elements.get(site + 1).map_or(0.0, |next| {
            ((mesh.strain_from_mm - elements[site].run) / (next.run - elements[site].run)).clamp(0.0, 1.0)
        });
        Self { elements, strain_site: StrainSite { element: site, share, run: mesh.strain_from_mm } }
    }

    /// Number of unknown nodes.
    pub(crate) fn nodes(&self) -> usize {
        self.elements.len()
    }

    /// Length of an element's chord, mm.
    pub(crate) fn length_mm(&self, element: usize) -> f64 {
        self.elements[element].length
    }

    /// Adds the internal forces. Node i + 1 of the arm is unknown i; `turns` are the mean rotations of the elements.
    /// `strained` becomes the state of the elements.
    pub(crate) fn add_forces(
        &self,
        moved: &[NodeVector],
        turns: &[ElementTurn],
        strained: &mut Vec<StrainedElement>,
        forces: &mut [NodeVector],
    ) {
        strained.clear();
        let mut before: NodeVector = [0.0; 3];
        // The end of an element takes its force together with that of the start of the next.
        let mut end_before: Option<(&mut NodeVector, NodeVector)> = None;
        for (((element, turn), after), force) in self.elements.iter().zip(turns).zip(moved).zip(forces) {
            let at = element.deformation(&before, after, turn);
            let (gradient, normal, shear) = element.gradient(&at);
            strained.push(StrainedElement { at, normal, shear });
            let (start, end) = ends_of(&gradient);
            if let Some((force, end)) = end_before {
                add(force, &end);
                add(force, &start);
            }
            end_before = Some((force, end));
            before = *after;
        }
        if let Some((force, end)) = end_before {
            add(force, &end);
        }
    }

    /// Sets the tangent to that of the internal forces.
    pub(crate) fn set_tangent(&self, strained: &[StrainedElement], chain: &mut BlockChain) {
        let mut end_before = [[0.0; 3]; 3];
        for (i, (element, StrainedElement { at, normal, shear })) in self.elements.iter().zip(strained).enumerate() {
            let [start_start, start_end, end_end] = element.blocks(at, *normal, *shear);
            if i > 0 {
                chain.set(i - 1, sum(&end_before, &start_start));
                chain.set_to_next(i - 1, start_end);
            }
            end_before = end_end;
        }
        if let Some(last) = self.elements.len().checked_sub(1) {
            chain.set(last, end_before);
        }
    }

    /// Strains of the faces from the strain site to the lip.
    pub(crate) fn strains(&self, moved: &[NodeVector], turns: &[ElementTurn]) -> FaceStrains {
        let mut out = FaceStrains::default();
        self.visit_strains(moved, turns, |run, [inner, outer]| {
            out.inner = out.inner.max(inner);
            out.outer = out.outer.min(outer);
            for (strain, is_inner) in [(inner.abs(), true), (outer.abs(), false)] {
                if strain > out.greatest {
                    out.greatest = strain;
                    (out.from_clamp_mm, out.on_inner_face) = (run, is_inner);
                }
            }
        });
        out
    }

    /// Visits the places where strain counts, from the strain site to the lip: length of centreline from the clamp, mm, and
    /// the strains of the inner and the outer face there.
    pub(crate) fn visit_strains(
        &self,
        moved: &[NodeVector],
        turns: &[ElementTurn],
        mut visit: impl FnMut(f64, [f64; 2]),
    ) {
        if self.elements.is_empty() {
            return;
        }
        let StrainSite { element: site, share, run } = self.strain_site;
        let at = |i: usize| {
            let before = if i == 0 { [0.0; 3] } else { moved[i - 1] };
            self.elements[i].faces(&self.elements[i].deformation(&before, &moved[i], &turns[i]))
        };
        let next = (site + 1).min(self.elements.len() - 1);
        let (here, there) = (at(site), at(next));
        let between = |face: usize| here[face] * (1.0 - share) + there[face] * share;
        visit(run, [between(0), between(1)]);
        for i in next..self.elements.len() {
            visit(self.elements[i].run, at(i));
        }
    }
}

impl Element {
    #[inline]
    fn deformation(&self, before: &NodeVector, after: &NodeVector, turn: &ElementTurn) -> Deformation {
        let ElementTurn { sin, cos, .. } = *turn;
        // Direction of the turned chord.
        let c = self.along.x * cos - self.along.y * sin;
        let s = self.along.y * cos + self.along.x * sin;
        let dx = self.chord.x + after[0] - before[0];
        let dy = self.chord.y + after[1] - before[1];
        Deformation {
            stretch: (c * dx + s * dy) * self.per_mm - 1.0,
            shear: (c * dy - s * dx) * self.per_mm,
            bend: (after[2] - before[2]) * self.per_mm,
            cos: c,
            sin: s,
        }
    }

    /// Derivative of the energy by chord (x, y), mean rotation and difference of rotations; normal and shear force.
    fn gradient(&self, at: &Deformation) -> ([f64; 4], f64, f64) {
        let normal = self.stretch * at.stretch + self.couple * at.bend;
        let moment = self.couple * at.stretch + self.bend * at.bend;
        let shear = self.shear * at.shear;
        let gradient = [
            normal * at.cos - shear * at.sin,
            normal * at.sin + shear * at.cos,
            self.length * (normal * at.shear - shear * (1.0 + at.stretch)),
            moment,
        ];
        (gradient, normal, shear)
    }

    /// Tangent blocks: start–start, start–end, end–end.
    fn blocks(&self, at: &Deformation, normal: f64, shear: f64) -> [NodeBlock; 3] {
        let l = self.length;
        let (c, s) = (at.cos, at.sin);
        // Derivatives by chord x, chord y, mean rotation.
        let (across, up) = (c * self.per_mm, s * self.per_mm);
        let stretch = [across, up, at.shear];
        let slide = [-up, across, -(1.0 + at.stretch)];
        let mut h = [[0.0; 3]; 3];
        for i in 0..3 {
            for j in 0..3 {
                h[i][j] = l * (self.stretch * stretch[i] * stretch[j] + self.shear * slide[i] * slide[j]);
            }
        }
        let by_turn = [-s * normal - c * shear, c * normal - s * shear];
        for (i, value) in by_turn.into_iter().enumerate() {
            h[i][2] += value;
            h[2][i] += value;
        }
        h[2][2] -= l * (normal * (1.0 + at.stretch) + shear * at.shear);
        // Coupling of the chord and mean rotation to the difference of rotations, and of that with itself.
        let couple = stretch.map(|v| self.couple * v);
        let own = self.bend * self.per_mm;
        let turn_turn = |a: f64, b: f64| 0.25 * h[2][2] + 0.5 * (a + b) * couple[2] + a * b * own;
        let cross = |i: usize, sign: f64| 0.5 * h[i][2] + sign * couple[i];
        let block = |a: f64, b: f64| {
            let mut out = [[0.0; 3]; 3];
            for i in 0..2 {
                for j in 0..2 {
                    out[i][j] = a * b * h[i][j];
                }
                out[i][2] = a * cross(i, b);
                out[2][i] = b * cross(i, a);
            }
            out[2][2] = turn_turn(a, b);
            out
        };
        [block(-1.0, -1.0), block(-1.0, 1.0), block(1.0, 1.0)]
    }

    /// Winkler's strain of the inner and the outer face.
    fn faces(&self, at: &Deformation) -> [f64; 2] {
        let fibre = |z: f64| (at.stretch + z * at.bend) / (1.0 + z * self.curvature);
        [fibre(-0.5 * self.wall), fibre(0.5 * self.wall)]
    }
}

/// Forces on the start and the end of an element from its gradient.
fn ends_of(g: &[f64; 4]) -> (NodeVector, NodeVector) {
    ([-g[0], -g[1], 0.5 * g[2] - g[3]], [g[0], g[1], 0.5 * g[2] + g[3]])
}

fn sum(a: &NodeBlock, b: &NodeBlock) -> NodeBlock {
    let mut out = *a;
    for (to, from) in out.iter_mut().zip(b) {
        add(to, from);
    }
    out
}

fn add(to: &mut NodeVector, what: &NodeVector) {
    for (t, w) in to.iter_mut().zip(what) {
        *t += w;
    }
}

#[cfg(test)]
mod tests;
