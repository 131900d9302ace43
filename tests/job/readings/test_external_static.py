"""Where the plate counts static among the ports of a profile, and ports that can't be right. Common practice:
a furnace after the filter and before an added coil; an air handler as its chart counts filter and coil."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from selector.job.file.model import Job, Reading
from selector.job.file.read import job_from_text
from selector.job.readings.external_static import ExternalStatic, UnitParts, external_static
from selector.job.readings.port_faults import port_faults
from selector.job.readings.reading_faults import ReadingPlace
from selector.job.remark import remark
from tests.helpers.recompute import mismatches

FURNACE = UnitParts(burner=True, cools=True)
HANDLER = UnitParts(burner=False, cools=True)


def read(ports: str) -> tuple[Reading, Job]:
    text = f"format: selector job 1\nmeasurements:\n- {{call: cooling, method: static, {ports}}}\n"
    job, _ = job_from_text(text, "job.yaml")
    return job.measurements[0], job


def static(ports: str, unit: UnitParts) -> ExternalStatic:
    found = external_static(read(ports)[0], unit)
    assert found is not None
    if found.figure is not None:
        assert mismatches(found.figure) == ()
    return found


def faults(ports: str) -> list[str]:
    reading, job = read(ports)
    return [problem.code for problem in port_faults(ReadingPlace(job, reading))]


PORTS = "before filter: -0.10 in. w.c., after filter: -0.28 in. w.c."


def test_a_furnace_counts_from_after_the_filter_to_before_the_coil() -> None:
    # 0.28 + 0.35 = 0.63
    found = static(f"{PORTS}, before coil: 0.35 in. w.c., after coil: 0.12 in. w.c.", FURNACE)
    assert found.figure is not None
    assert (found.figure.value, found.where) == (F("0.63"), "after filter to before coil")


def test_a_supply_port_alone_is_behind_the_coil_of_a_furnace_that_cools() -> None:
    found = static(f"{PORTS}, supply static: 0.12 in. w.c.", FURNACE)
    assert found.figure is None
    assert found.why == remark("ports missing", inlet="after filter", outlet="before coil", missing=("before coil",))
    heats = static(f"{PORTS}, supply static: 0.12 in. w.c.", UnitParts(burner=True, cools=False))
    assert heats.figure is not None
    assert heats.figure.value == F("0.40")


def test_an_air_handler_has_its_coil_inside_unless_said() -> None:
    # coil drawn through: -0.28 to -0.52 are inside; 0.28 + 0.20 = 0.48
    ports = f"{PORTS}, after coil: -0.52 in. w.c., supply static: 0.20 in. w.c."
    found = static(ports, HANDLER)
    assert found.figure is not None
    assert found.figure.value == F("0.48")
    assert found.assumed
    # filter inside too: from before it, 0.10 + 0.20
    both = static(f"{ports}, inside: filter coil", HANDLER)
    assert both.figure is not None
    assert (both.figure.value, both.assumed) == (F("0.30"), None)


def test_a_return_side_typed_without_its_sign_is_the_return_side() -> None:
    found = static("before filter: 0.10 in. w.c., after filter: 0.28 in. w.c., before coil: 87 Pa", FURNACE)
    assert found.figure is not None
    # 87 Pa / 249.08891 = 0.3493 in. w.c.
    assert round(float(found.figure.value), 3) == 0.629


@pytest.mark.parametrize(
    ("ports", "codes"),
    [
        ("before filter: -0.28 in. w.c., after filter: -0.10 in. w.c.", ["ports-exchanged"]),
        ("before filter: 0.10 in. w.c., after filter: -0.28 in. w.c.", ["static-signs"]),
        ("before coil: 0.35 in. w.c., after coil: -0.12 in. w.c.", ["static-signs"]),
        ("before coil: 0.12 in. w.c., after coil: 0.35 in. w.c.", ["ports-exchanged"]),
        ("after coil: 0.12 in. w.c., supply static: 0.20 in. w.c.", ["ports-exchanged"]),
        ("after filter: -0.28 in. w.c., return static: -0.1 in. w.c.", ["port-unclear"]),
        ("before filter: -0.10 in. w.c., after filter: -0.09 in. w.c.", []),
        (f"{PORTS}, before coil: 0.35 in. w.c., after coil: 0.12 in. w.c., supply static: 0.10 in. w.c.", []),
        ("return static: -0.1 in. w.c., supply static: 0.2 in. w.c.", []),
    ],
)
def test_ports_that_can_t_be_right(ports: str, codes: list[str]) -> None:
    assert faults(ports) == codes
