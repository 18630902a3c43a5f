"""Reads STEP files with an independent B-rep kernel (Open CASCADE) and measures what it finds.

The code is independent of the project's writers. Lengths are in mm, and angles in degrees where the name says so.
"""

import math
import os
import re
import sys
import tempfile
from contextlib import contextmanager
from dataclasses import dataclass

from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_PrintCount, IFSelect_ReturnStatus
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.collections import Sequence_TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from OCP.XCAFDoc import XCAFDoc_DocumentTool

COLOUR_CODE = re.compile(r"\x1b\[[0-9;]*m")


@dataclass
class Product:
    """One named product of a file."""

    name: str
    shape: object


@dataclass
class Reading:
    """Content of a STEP file, and all messages of the reader."""

    products: list
    messages: list


@contextmanager
def captured_output(lines):
    """Collects the output of the kernel's C++ code, which writes to the file descriptor and bypasses Python's stream."""
    sys.stdout.flush()
    saved = os.dup(1)
    with tempfile.TemporaryFile() as sink:
        os.dup2(sink.fileno(), 1)
        try:
            yield
        finally:
            sys.stdout.flush()
            os.dup2(saved, 1)
            os.close(saved)
            sink.seek(0)
            text = COLOUR_CODE.sub("", sink.read().decode("utf-8", "replace"))
            lines.extend(line.strip() for line in text.splitlines() if line.strip())


def read_step(path):
    """Reads a file with names. For a valid file `messages` is empty."""
    messages = []
    document = TDocStd_Document(TCollection_ExtendedString("check"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    with captured_output(messages):
        status = reader.ReadFile(str(path))
        basic = reader.ChangeReader()
        by_entity = IFSelect_PrintCount.IFSelect_ItemsByEntity
        basic.PrintCheckLoad(False, by_entity)
        transferred = status == IFSelect_ReturnStatus.IFSelect_RetDone and reader.Transfer(document)
        basic.PrintCheckTransfer(False, by_entity)
    if status != IFSelect_ReturnStatus.IFSelect_RetDone:
        messages.append(f"reading ended with {status}")
    elif not transferred:
        messages.append("nothing was transferred")
    return Reading(_products(document) if transferred else [], messages)


def _products(document):
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    labels = Sequence_TDF_Label()
    tool.GetFreeShapes(labels)
    found = []
    for index in range(1, labels.Length() + 1):
        label = labels.Value(index)
        name = TDataStd_Name()
        has_name = label.FindAttribute(TDataStd_Name.GetID_s(), name)
        found.append(Product(name.Get().ToExtString() if has_name else "", tool.GetShape_s(label)))
    return found


def parts_of(shape, kind):
    """All sub-shapes of a kind; a shared one is listed once per use."""
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def solids(shape):
    """The solids of a shape."""
    return list(parts_of(shape, TopAbs_ShapeEnum.TopAbs_SOLID))


def faces(shape):
    """The faces of a shape."""
    return [TopoDS.Face(face) for face in parts_of(shape, TopAbs_ShapeEnum.TopAbs_FACE)]


def is_valid(shape):
    """True if the kernel's own analyser finds no fault in the shape."""
    return BRepCheck_Analyzer(shape, True).IsValid()


def greatest_tolerance(shape):
    """Largest tolerance (mm) of a vertex, edge or face: the kernel enlarges it where curves do not meet."""
    tolerances = [BRep_Tool.Tolerance_s(face) for face in faces(shape)]
    for edge in parts_of(shape, TopAbs_ShapeEnum.TopAbs_EDGE):
        tolerances.append(BRep_Tool.Tolerance_s(TopoDS.Edge(edge)))
    for vertex in parts_of(shape, TopAbs_ShapeEnum.TopAbs_VERTEX):
        tolerances.append(BRep_Tool.Tolerance_s(TopoDS.Vertex(vertex)))
    return max(tolerances, default=0.0)


def volume(shape):
    """Volume in mm³ and centroid in mm, integrated adaptively over the exact faces."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, 1e-9, True, True)
    centre = properties.CentreOfMass()
    return properties.Mass(), (centre.X(), centre.Y(), centre.Z())


def area(shape):
    """Surface area in mm²."""
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, properties, 1e-9)
    return properties.Mass()


@dataclass
class FaceFacts:
    """Properties of one face: `kind` is a word; `tilt_deg` is the angle between the face and the z axis, 0 when upright.

    Round faces have an axis along z, along x, or along the requested axis; the radius is given for the last of these.
    """

    kind: str
    tilt_deg: float
    about_z: bool
    about_x: bool
    about_axis: bool
    radius_mm: float


def face_facts(face, parting_mm=0.0, axis=(0.0, 0.0, 1.0)):
    """Kind, tilt against the z axis and, for cylinders and cones along `axis`, the radius at the height of the parting
    plane (cylinders have one radius everywhere)."""
    surface = BRepAdaptor_Surface(face, True)
    kind = surface.GetType()
    if kind == GeomAbs_SurfaceType.GeomAbs_Plane:
        normal = surface.Plane().Axis().Direction()
        return FaceFacts("plane", _degrees_from_upright(normal.Z()), False, False, False, math.nan)
    if kind == GeomAbs_SurfaceType.GeomAbs_Cylinder:
        cylinder = surface.Cylinder()
        along = _along(cylinder.Axis().Direction(), axis)
        return FaceFacts("cylinder", 0.0 if along[0] else math.nan, *along, cylinder.Radius() if along[2] else math.nan)
    if kind == GeomAbs_SurfaceType.GeomAbs_Cone:
        return _cone_facts(surface.Cone(), parting_mm, axis)
    return FaceFacts(str(kind).rsplit("_", 1)[-1].lower(), math.nan, False, False, False, math.nan)


def _cone_facts(cone, parting_mm, axis):
    direction = cone.Axis().Direction()
    along = _along(direction, axis)
    if not along[0]:
        return FaceFacts("cone", math.nan, *along, math.nan)
    height = (parting_mm - cone.Location().Z()) / direction.Z()
    radius = cone.RefRadius() + height * math.tan(cone.SemiAngle())
    return FaceFacts("cone", abs(math.degrees(cone.SemiAngle())), *along, abs(radius))


def _along(direction, axis):
    """Returns whether a direction is parallel to z, to x, and to an axis, in either sense."""
    found = (direction.X(), direction.Y(), direction.Z())
    return tuple(_sine(found, wanted) < 1e-12 for wanted in ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0), axis))


def _sine(a, b):
    """Sine of the angle between two unit vectors."""
    return math.hypot(a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def cylinders(shape):
    """Radius, point of the axis and its direction of every cylinder of a shape."""
    found = []
    for face in faces(shape):
        surface = BRepAdaptor_Surface(face, True)
        if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_Cylinder:
            cylinder = surface.Cylinder()
            point, direction = cylinder.Location(), cylinder.Axis().Direction()
            found.append(
                (cylinder.Radius(), (point.X(), point.Y(), point.Z()), (direction.X(), direction.Y(), direction.Z()))
            )
    return found


def _degrees_from_upright(normal_z):
    return math.degrees(math.asin(min(1.0, abs(normal_z))))
