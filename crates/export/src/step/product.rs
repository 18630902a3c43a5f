//! Instances of the product structure, which gives a solid its name and its units.

use gripwright_solid::Frame;

use super::{
    geometry::write_placement,
    instances::{Id, Instances},
};

/// Distance (mm) below which readers may merge two points: far above our rounding error and far below any feature.
const UNCERTAINTY_MM: f64 = 1e-6;

/// Instances that all products of a file share.
pub(super) struct ProductContexts {
    product_context: Id,
    definition_context: Id,
    representation_context: Id,
    origin: Id,
}

impl ProductContexts {
    /// Writes the contexts: application, millimetres and radians, world origin.
    pub(super) fn write(out: &mut Instances) -> Self {
        let application = out.entity("APPLICATION_CONTEXT", |p| {
            p.text("core data for automotive mechanical design processes");
        });
        out.entity("APPLICATION_PROTOCOL_DEFINITION", |p| {
            p.text("international standard").text("automotive_design").token("2000").id(application);
        });
        let product_context = out.entity("PRODUCT_CONTEXT", |p| {
            p.text("").id(application).text("mechanical");
        });
        let definition_context = out.entity("PRODUCT_DEFINITION_CONTEXT", |p| {
            p.text("part definition").id(application).text("design");
        });
        let representation_context = write_representation_context(out);
        let world = Frame { origin: [0.0; 3], x: [1.0, 0.0, 0.0], z: [0.0, 0.0, 1.0] };
        let origin = write_placement(out, &world);
        Self { product_context, definition_context, representation_context, origin }
    }
}

fn write_representation_context(out: &mut Instances) -> Id {
    let length = write_unit(out, "LENGTH_UNIT", ".MILLI.", ".METRE.");
    let plane_angle = write_unit(out, "PLANE_ANGLE_UNIT", "$", ".RADIAN.");
    let solid_angle = write_unit(out, "SOLID_ANGLE_UNIT", "$", ".STERADIAN.");
    let uncertainty = out.entity("UNCERTAINTY_MEASURE_WITH_UNIT", |p| {
        p.typed("LENGTH_MEASURE", |p| {
            p.real(UNCERTAINTY_MM);
        });
        p.id(length).text("distance_accuracy_value").text("greatest gap between curves, surfaces and vertices");
    });
    out.complex(|p| {
        p.partial("GEOMETRIC_REPRESENTATION_CONTEXT", |p| {
            p.token("3");
        });
        p.partial("GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT", |p| {
            p.ids(&[uncertainty]);
        });
        p.partial("GLOBAL_UNIT_ASSIGNED_CONTEXT", |p| {
            p.ids(&[length, plane_angle, solid_angle]);
        });
        p.partial("REPRESENTATION_CONTEXT", |p| {
            p.text("").text("3D");
        });
    })
}

/// Writes an SI unit. The schema requires the parts of a complex instance in alphabetical order.
fn write_unit(out: &mut Instances, kind: &str, prefix: &str, name: &str) -> Id {
    let named_first = kind < "NAMED_UNIT";
    out.complex(|p| {
        if named_first {
            p.partial(kind, |_| {});
        }
        p.partial("NAMED_UNIT", |p| {
            p.token("*");
        });
        if !named_first && kind < "SI_UNIT" {
            p.partial(kind, |_| {});
        }
        p.partial("SI_UNIT", |p| {
            p.token(prefix).token(name);
        });
        if kind > "SI_UNIT" {
            p.partial(kind, |_| {});
        }
    })
}

/// Writes the product of one part with its solid; returns the product.
pub(super) fn write_product(out: &mut Instances, contexts: &ProductContexts, name: &str, solid: Id) -> Id {
    let product = out.entity("PRODUCT", |p| {
        p.text(name).text(name).text("").ids(&[contexts.product_context]);
    });
    let formation = out.entity("PRODUCT_DEFINITION_FORMATION", |p| {
        p.text("1").text("").id(product);
    });
    let definition = out.entity("PRODUCT_DEFINITION", |p| {
        p.text("design").text("").id(formation).id(contexts.definition_context);
    });
    let shape = out.entity("PRODUCT_DEFINITION_SHAPE", |p| {
        p.text("").text("").id(definition);
    });
    let representation = out.entity("ADVANCED_BREP_SHAPE_REPRESENTATION", |p| {
        p.text(name).ids(&[contexts.origin, solid]).id(contexts.representation_context);
    });
    out.entity("SHAPE_DEFINITION_REPRESENTATION", |p| {
        p.id(shape).id(representation);
    });
    product
}

/// Writes records that AP214's global rules require of every product: a category, and an organization that owns its
/// identity.
pub(super) fn write_common_records(out: &mut Instances, products: &[Id]) {
    out.entity("PRODUCT_RELATED_PRODUCT_CATEGORY", |p| {
        p.text("part").text("").ids(products);
    });
    let organization = out.entity("ORGANIZATION", |p| {
        p.text("").text("not stated").text("");
    });
    let role = out.entity("ORGANIZATION_ROLE", |p| {
        p.text("id owner");
    });
    out.entity("APPLIED_ORGANIZATION_ASSIGNMENT", |p| {
        p.id(organization).id(role).ids(products);
    });
}
