import gzip
import os
from pathlib import Path

import numpy as np
import pytest
from made_gpx import HEAD, gpx_track, hill, point, write

from gearsim.course.gpx_in import read_gpx
from gearsim.errors import FileError, InputError, RouteError

BOMB = """<?xml version="1.0"?>
<!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>
<gpx version="1.1"><trk><name>&b;</name></trk></gpx>"""


def refusal(path: Path) -> str:
    """The message of the refusal: one line that begins with the file."""
    with pytest.raises(InputError) as caught:
        read_gpx(path)
    message = str(caught.value)
    assert message.startswith(f"{path}: ")
    assert "\n" not in message
    return message


def test_segments_of_a_track_follow_one_another(tmp_path: Path) -> None:
    points = hill(6)
    body = f"<trk><trkseg>{''.join(points[:2])}</trkseg><trkseg/><trkseg>{''.join(points[2:])}"
    file = read_gpx(write(tmp_path, body + "</trkseg></trk>"))
    assert file.tracks[0].track.points == 6
    assert file.tracks[0].name == "track 1"


@pytest.mark.parametrize("version", ["1.0", "1.1"])
def test_both_versions_are_read(tmp_path: Path, version: str) -> None:
    path = tmp_path / "a.gpx"
    space = f"http://www.topografix.com/GPX/{version.replace('.', '/')}"
    head = f'<gpx version="{version}" creator="t" xmlns="{space}">'
    path.write_text(head + gpx_track(hill(5), "hill") + "</gpx>")
    named = read_gpx(path).tracks[0]
    assert named.name == "hill"
    assert named.track.latitude_deg[1] == 45.0001
    assert named.track.elevation_m[0] == 100.0


def test_the_title_is_that_of_the_file_or_its_name(tmp_path: Path) -> None:
    titled = write(tmp_path, "<metadata><name>my ride</name></metadata>", gpx_track(hill(5)))
    assert read_gpx(titled).title == "my ride"
    plain = write(tmp_path, gpx_track(hill(5)), name="loop.gpx")
    assert read_gpx(plain).title == "loop"


def test_route_and_waypoints_are_read(tmp_path: Path) -> None:
    route = '<rte><name>r</name><rtept lat="1" lon="2"><ele>3</ele></rtept></rte>'
    waypoint = '<wpt lat="1.5" lon="2.5"><name>water &amp; food</name></wpt><wpt lat="1" lon="1"/>'
    file = read_gpx(write(tmp_path, waypoint, route))
    assert file.routes[0].track.elevation_m[0] == 3.0
    assert [w.name for w in file.waypoints] == ["water & food", "waypoint 2"]


def test_missing_and_empty_heights_are_nan_and_zero_is_a_height(tmp_path: Path) -> None:
    points = [point(45, 7, None), point(45, 8, ""), point(45, 9, 0)]
    height = read_gpx(write(tmp_path, gpx_track(points))).tracks[0].track.elevation_m
    assert np.isnan(height[:2]).all()
    assert height[2] == 0.0


def test_times_are_utc_whatever_zone_they_are_written_in(tmp_path: Path) -> None:
    stamps = ["2024-06-01T10:00:00Z", "2024-06-01T12:00:00+02:00", "2024-06-01T10:00:00.5", "noon"]
    points = [point(45, 7, 1, stamp) for stamp in stamps]
    time = read_gpx(write(tmp_path, gpx_track(points))).tracks[0].track.time_s
    assert time[0] == time[1] == 1_717_236_000.0
    assert time[2] == time[0] + 0.5
    assert np.isnan(time[3])


@pytest.mark.parametrize(
    ("encoding", "declared"),
    [
        ("utf-8", "UTF-8"),
        ("utf-8-sig", "UTF-8"),
        ("utf-8-sig", None),
        ("utf-16", "UTF-16"),
        ("utf-16-le", "UTF-16"),
        ("utf-16-be", None),
        ("utf-32", "UTF-32"),
        ("iso-8859-1", "ISO-8859-1"),
        ("windows-1252", "windows-1252"),
        ("utf-8", "UTF-16"),  # a wrong declaration, common where text was written from memory
        ("utf-8", None),
    ],
)
def test_names_survive_every_encoding(tmp_path: Path, encoding: str, declared: str | None) -> None:
    head = f'<?xml version="1.0" encoding="{declared}"?>' if declared else ""
    text = f'{head}<gpx version="1.1">{gpx_track(hill(5), "Höhe")}</gpx>'
    path = tmp_path / "a.gpx"
    path.write_bytes(text.encode(encoding))
    assert read_gpx(path).tracks[0].name == "Höhe"


def test_bytes_that_are_not_as_declared_still_load(tmp_path: Path) -> None:
    path = tmp_path / "a.gpx"
    path.write_bytes((HEAD + gpx_track(hill(5), "Höhe") + "</gpx>").encode("latin-1"))
    assert read_gpx(path).tracks[0].name == "Höhe"


@pytest.mark.parametrize("name", ["a.gpx.gz", "a.gpx"])
def test_gzip_is_known_by_its_content(tmp_path: Path, name: str) -> None:
    plain = write(tmp_path, gpx_track(hill(5)), name="plain.gpx")
    path = tmp_path / name
    path.write_bytes(gzip.compress(plain.read_bytes()))
    assert read_gpx(path).tracks[0].track.points == 5


def test_a_name_is_shown_on_one_line(tmp_path: Path) -> None:
    file = read_gpx(write(tmp_path, gpx_track(hill(5), "two\nlines\t and \u200e more")))
    assert file.tracks[0].name == "two lines and more"


def test_comments_and_instructions_before_the_root_are_passed_over(tmp_path: Path) -> None:
    path = tmp_path / "a.gpx"
    head = '<?xml version="1.0"?>\n<!-- <!DOCTYPE> --><?style x?>\n<gpx version="1.1">'
    path.write_text(head + gpx_track(hill(5)) + "</gpx>")
    assert read_gpx(path).tracks[0].track.points == 5


def test_an_entity_bomb_is_refused_before_it_is_parsed(tmp_path: Path) -> None:
    path = tmp_path / "bomb.gpx"
    path.write_text(BOMB)
    assert "line 2: <!DOCTYPE> found" in refusal(path)


@pytest.mark.parametrize("declared", ["undefined", "rot13", "punycode", "no-such", "mbcs"])
def test_declared_encoding_that_cannot_be_is_passed_over(tmp_path: Path, declared: str) -> None:
    path = write(tmp_path, gpx_track(hill(20), "hill"))
    path.write_text(path.read_text().replace("UTF-8", declared))
    assert read_gpx(path).tracks[0].name == "hill"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-7", "utf-8-sig"])
def test_an_entity_bomb_in_another_encoding_is_refused(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "bomb.gpx"
    declared = BOMB.replace('"1.0"?>', f'"1.0" encoding="{encoding.removesuffix("-sig")}"?>')
    text = declared if encoding != "utf-7" else declared.replace("<!DOCTYPE", "+ADw-!DOCTYPE")
    path.write_bytes(text.encode("utf-8" if encoding == "utf-7" else encoding))
    assert "<!DOCTYPE> found" in refusal(path)


def test_truncated_xml_is_refused_with_the_line(tmp_path: Path) -> None:
    path = write(tmp_path, gpx_track(hill(50)))
    path.write_text("\n" + path.read_text()[:1000])
    message = refusal(path)
    assert "damaged or cut short" in message
    assert message.count("line 3") == 1


def test_truncated_gzip_is_refused(tmp_path: Path) -> None:
    whole = gzip.compress(write(tmp_path, gpx_track(hill(200))).read_bytes())
    path = tmp_path / "a.gpx.gz"
    path.write_bytes(whole[: len(whole) // 2])
    assert "gzip data are damaged" in refusal(path)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "the file is empty"),
        (b" \n ", "the file is empty"),
        (b"\xef\xbb\xbf\n", "the file is empty"),
        (gzip.compress(b""), "the file is empty"),
        (b"lat,lon\n1,2\n", "is not XML, so not GPX"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "is not XML, so not GPX"),
        (b"<html><body/></html>", "first element is <html>, not <gpx>"),
        (b"<gpx", "damaged or cut short"),
        (b"<gpx>&bomb;</gpx>", "damaged or cut short"),
        (b"<gpx>\x00</gpx>", "damaged or cut short"),
    ],
)
def test_what_is_not_gpx_is_refused(tmp_path: Path, content: bytes, said: str) -> None:
    path = tmp_path / "a.gpx"
    path.write_bytes(content)
    assert said in refusal(path)


def test_a_plan_in_place_of_a_route_is_told_with_what_rides_it(tmp_path: Path) -> None:
    path = tmp_path / "my plan.toml"
    path.write_text('route = "a.gpx"\n')
    said = refusal(path)
    assert "looks like a plan; give the GPX file itself" in said
    assert said.endswith(f"ride the plan with: gearsim compare '{path}'")


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    assert "there is no such file" in refusal(tmp_path / "none.gpx")
    assert "is a folder" in refusal(tmp_path)


def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.gpx")
    assert "not a regular file" in refusal(tmp_path / "pipe.gpx")


def test_an_impossible_file_name_is_refused() -> None:
    with pytest.raises(FileError, match=r"cannot be read|no such file"):
        read_gpx("a\x00b.gpx")


def test_an_unreadable_file_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write(tmp_path, gpx_track(hill(5)))

    def denied(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", denied)
    assert "cannot be read (Permission denied)" in refusal(path)


@pytest.mark.parametrize(
    ("latitude", "longitude"), [("nan", "7"), ("90.1", "7"), ("45", "-180.5"), ("45", "inf")]
)
def test_a_place_that_is_not_on_earth_is_refused(
    tmp_path: Path, latitude: str, longitude: str
) -> None:
    bad = f'<trkpt lat="{latitude}" lon="{longitude}"><ele>1</ele></trkpt>'
    message = refusal(write(tmp_path, gpx_track([*hill(3), bad], "hill")))
    assert "hill, point 4: latitude" in message
    assert "-90 to 90" in message


@pytest.mark.parametrize(
    ("bad", "said"),
    [
        ('<trkpt lat="45" lon="7"><ele>1,5</ele></trkpt>', "line 2: <ele> is '1,5'; allowed is"),
        ('<trkpt lat="north" lon="7"/>', "line 2: lat or lon is 'north'; allowed is a number"),
        ('<trkpt\nlon="7"/>', "line 2: a point has no lat; allowed is a number"),
        ('<trkpt lat="45"/>', "line 2: a point has no lon; allowed is a number"),
        (f"<trkpt lat='{'x' * 500}' lon='7'/>", f"lat or lon is '{'x' * 39}…'; allowed"),
    ],
)
def test_a_value_that_is_no_number_is_refused(tmp_path: Path, bad: str, said: str) -> None:
    assert said in refusal(write(tmp_path, gpx_track([*hill(3), bad])))


def test_the_line_of_a_bad_value_is_named(tmp_path: Path) -> None:
    body = "\n".join([*hill(3), '<trkpt lat="45" lon="7"><ele>high</ele></trkpt>'])
    assert "line 5: " in refusal(write(tmp_path, gpx_track([body])))


def test_a_waypoint_that_is_not_on_earth_is_refused(tmp_path: Path) -> None:
    with pytest.raises(RouteError, match="waypoints, point 1: latitude 95"):
        read_gpx(write(tmp_path, '<wpt lat="95" lon="7"/>', gpx_track(hill(5))))
