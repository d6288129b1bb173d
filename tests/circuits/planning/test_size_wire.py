"""One wire on the command line: size, fuse, reasons, cautions; one clear message for what cannot be read."""

import io

import pytest
from django.core.management import CommandError, call_command

from circuits.electrical.conductors import conductor
from circuits.electrical.single import SingleLoad, size_single

USUAL = {"load": "8A", "length": "4m"}


def run(**given):
    out, err = io.StringIO(), io.StringIO()
    words = [f"--{name.replace('_', '-')}={value}" for name, value in (USUAL | given).items()]
    try:
        call_command("size_wire", *words, stdout=out, stderr=err)
    except SystemExit as end:
        return int(end.code or 0), out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def size_of(out):
    return out.splitlines()[0].split(maxsplit=1)[1]


def test_size_fuse_reason_basis_and_cautions_are_said():
    status, out, err = run()
    assert (status, err) == (0, "")
    expected = size_single(SingleLoad(load_a=8.0, length_m=4.0))
    assert expected.fuse is not None
    assert size_of(out) == expected.wire.conductor.label
    assert f"{expected.fuse.rating_a:g} A blade" in out
    assert expected.why in out
    assert "33 CFR 183.425" in out
    assert "Never fit a larger one" in out


def test_power_is_taken_at_the_system_voltage():
    assert "Load  8 A" in run(load="96W")[1]
    assert "Load  8 A" in run(load="192 W", voltage="24V")[1]


def test_lengths_may_be_in_feet():
    assert size_of(run(length="13.1 ft")[1]) == size_of(run(length="4m")[1])


def test_a_tighter_drop_takes_a_thicker_wire():
    usual, tighter = (conductor(size_of(run(drop=drop)[1])).area_mm2 for drop in ("5", "3"))
    assert tighter > usual


def test_the_metric_series_is_used_when_asked():
    assert size_of(run(series="mm2")[1]).endswith("mm²")


def test_what_no_size_can_do_ends_with_1_and_says_so_beside_the_size():
    status, out, _ = run(ambient="130")
    assert status == 1
    assert "will not do" in out.splitlines()[0]
    assert "error: " in out


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"voltage": "13"}, "12 or 24"),
        ({"bundle": "0"}, "1 or more"),
        ({"ambient": "500"}, "-60 to 250"),
        ({"drop": "0"}, "max_drop_percent"),
        ({"load": "0"}, "load_a"),
    ],
)
def test_a_value_that_makes_no_sense_ends_with_2_and_one_line(given, said):
    status, out, err = run(**given)
    assert (status, out) == (2, "")
    assert said in err
    assert len(err.strip().splitlines()) == 1


@pytest.mark.parametrize(
    "given",
    [
        {"load": "8V"},
        {"load": "much"},
        {"length": "-4m"},
        {"length": "1e9"},
        {"length": "4 A"},
        {"size": "14"},
        {"bundle": "many"},
        {"family": "square"},
        {"insulation": "99"},
    ],
)
def test_what_cannot_be_read_is_named_with_its_option_and_value(given):
    ((name, value),) = given.items()
    with pytest.raises(CommandError, match=f"--{name}") as caught:
        run(**given)
    assert value in str(caught.value)
