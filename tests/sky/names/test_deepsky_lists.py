"""The Messier and Caldwell lists and places of deep-sky objects, against what is printed elsewhere."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_less

from obslog.sky.names.deepsky import DeepSkyObject, find_object, objects

# Messier's list with the numbers of the New General Catalogue and the Index Catalogue (I), as printed in handbooks;
# written down from memory, independently of the table under test. 40 and 45 have no such number; 102 is disputed.
MESSIER = """
1 1952  2 7089  3 5272  4 6121  5 5904  6 6405  7 6475  8 6523  9 6333  10 6254
11 6705  12 6218  13 6205  14 6402  15 7078  16 6611  17 6618  18 6613  19 6273  20 6514
21 6531  22 6656  23 6494  24 I4715  25 I4725  26 6694  27 6853  28 6626  29 6913  30 7099
31 224  32 221  33 598  34 1039  35 2168  36 1960  37 2099  38 1912  39 7092  41 2287
42 1976  43 1982  44 2632  46 2437  47 2422  48 2548  49 4472  50 2323
51 5194  52 7654  53 5024  54 6715  55 6809  56 6779  57 6720  58 4579  59 4621  60 4649
61 4303  62 6266  63 5055  64 4826  65 3623  66 3627  67 2682  68 4590  69 6637  70 6681
71 6838  72 6981  73 6994  74 628  75 6864  76 650  77 1068  78 2068  79 1904  80 6093
81 3031  82 3034  83 5236  84 4374  85 4382  86 4406  87 4486  88 4501  89 4552  90 4569
91 4548  92 6341  93 2447  94 4736  95 3351  96 3368  97 3587  98 4192  99 4254  100 4321
101 5457  102 5866  103 581  104 4594  105 3379  106 4258  107 6171  108 3556  109 3992  110 205
"""

# P. Moore, "The Caldwell Catalog", Sky & Telescope, December 1995; from memory. 9 is Sharpless 155, 14 the double
# cluster, 41 the Hyades, 99 the Coalsack.
CALDWELL = """
1 188  2 40  3 4236  4 7023  5 I342  6 6543  7 2403  8 559  10 663  11 7635
12 6946  13 457  15 6826  16 7243  17 147  18 185  19 I5146  20 7000  21 4449  22 7662
23 891  24 1275  25 2419  26 4244  27 6888  28 752  29 5005  30 7331  31 I405  32 4631
33 6992  34 6960  35 4889  36 4559  37 6885  38 4565  39 2392  40 3626  42 7006  43 7814
44 7479  45 5248  46 2261  47 6934  48 2775  49 2238  50 2244  51 I1613  52 4697  53 3115
54 2506  55 7009  56 246  57 6822  58 2360  59 3242  60 4038  61 4039  62 247  63 7293
64 2362  65 253  66 5694  67 1097  68 6729  69 6302  70 300  71 2477  72 55  73 1851
74 3132  75 6124  76 6231  77 5128  78 6541  79 3201  80 5139  81 6352  82 6193  83 4945
84 5286  85 I2391  86 6397  87 1261  88 5823  89 6087  90 2867  91 3532  92 3372  93 6752
94 4755  95 6025  96 2516  97 3766  98 4609  100 I2944  101 6744  102 I2602  103 2070  104 362
105 4833  106 104  107 6101  108 4372  109 3195
"""


def printed_list(text: str) -> dict[int, str]:
    words = text.split()
    numbers = zip(words[::2], words[1::2], strict=True)
    return {int(n): f"IC {other[1:]}" if other.startswith("I") else f"NGC {other}" for n, other in numbers}


@pytest.mark.parametrize(("prefix", "text", "count"), [("M", MESSIER, 108), ("C", CALDWELL, 105)])
def test_every_number_leads_to_the_printed_object(prefix: str, text: str, count: int) -> None:
    printed = printed_list(text)
    assert len(printed) == count
    wrong = [n for n, other in printed.items() if find_object(f"{prefix} {n}") != find_object(other)]
    assert wrong == []


def test_all_110_messier_objects_are_different_objects() -> None:
    listed = [find_object(f"M{n}") for n in range(1, 111)]
    assert [thing.messier for thing in listed] == list(range(1, 111))
    assert len({thing.designation for thing in listed}) == 110
    assert sorted(thing.messier for thing in objects() if thing.messier) == list(range(1, 111))


def test_all_109_caldwell_objects_are_different_objects() -> None:
    listed = [find_object(f"C{n}") for n in range(1, 110)]
    assert [thing.caldwell for thing in listed] == list(range(1, 110))
    assert len({thing.designation for thing in listed}) == 109


def test_no_caldwell_object_is_a_messier_object() -> None:
    # The list was made of what Messier left out.
    assert [thing.title for thing in objects() if thing.messier and thing.caldwell] == []


def test_caldwell_numbers_run_from_north_to_south() -> None:
    # The list is numbered by declination. Its author worked from rounded places, so a neighbour may be a degree out.
    dec_deg = np.array([find_object(f"C{n}").dec_deg for n in range(1, 110)])
    assert_array_less(np.diff(dec_deg), 1.0)
    assert dec_deg[0] > 85
    assert dec_deg[-1] < -80


@pytest.mark.parametrize("number", [40, 45, 102, 24, 73])
def test_the_odd_ones_of_the_messier_list_are_explained(number: int) -> None:
    note = find_object(f"M {number}").note
    assert note is not None
    assert note.endswith(".")


def arcsec_from(thing: DeepSkyObject, ra: tuple[int, int, float], dec: tuple[int, int, int, float]) -> float:
    """Angle on the sky between the object and a printed place."""
    sign, degrees, minutes, seconds = dec
    other_dec = np.radians(sign * (degrees + minutes / 60 + seconds / 3600))
    other_ra = np.radians(15 * (ra[0] + ra[1] / 60 + ra[2] / 3600))
    own_dec, own_ra = np.radians(thing.dec_deg), np.radians(15 * thing.ra_hours)
    east = (own_ra - other_ra) * np.cos(own_dec)
    return float(np.degrees(np.hypot(east, own_dec - other_dec)) * 3600)


@pytest.mark.parametrize(
    ("name", "ra", "dec", "tolerance_arcsec"),
    [
        # Radio cores of the International Celestial Reference Frame (ICRF2, 2009), from memory.
        ("M 87", (12, 30, 49.4234), (1, 12, 23, 28.044), 2),
        ("NGC 1275", (3, 19, 48.1601), (1, 41, 30, 42.103), 2),
        ("M 84", (12, 25, 3.7433), (1, 12, 53, 13.139), 2),
        ("M 81", (9, 55, 33.1731), (1, 69, 3, 55.061), 2),
        ("Centaurus A", (13, 25, 27.6152), (-1, 43, 1, 8.805), 3),
        # W. E. Harris, catalogue of globular clusters (1996, edition of 2010), from memory.
        ("47 Tucanae", (0, 24, 5.67), (-1, 72, 4, 52.6), 10),
        ("Omega Centauri", (13, 26, 47.24), (-1, 47, 28, 46.5), 20),  # its middle is hard to define
        ("M 13", (16, 41, 41.24), (1, 36, 27, 35.5), 10),
        ("M 15", (21, 29, 58.33), (1, 12, 10, 1.2), 10),
        ("M 5", (15, 18, 33.22), (1, 2, 4, 51.7), 10),
        ("M 4", (16, 23, 35.22), (-1, 26, 31, 32.7), 10),
        # Handbooks, from memory, to the arcsecond and arcminute.
        ("M 31", (0, 42, 44.3), (1, 41, 16, 9), 5),
        ("M 57", (18, 53, 35.1), (1, 33, 1, 45), 5),
        ("M 1", (5, 34, 31.9), (1, 22, 0, 52), 30),
        ("Pleiades", (3, 47, 0), (1, 24, 7, 0), 600),
        ("Double Cluster", (2, 20, 30), (1, 57, 8, 0), 600),
        ("M 102", (15, 6, 29.5), (1, 55, 45, 48), 5),
        # Winnecke 4 in the Washington Double Star catalogue, from memory.
        ("M 40", (12, 22, 12.5), (1, 58, 4, 59), 60),
    ],
)
def test_places_agree_with_printed_ones(
    name: str, ra: tuple[int, int, float], dec: tuple[int, int, int, float], tolerance_arcsec: float
) -> None:
    assert arcsec_from(find_object(name), ra, dec) < tolerance_arcsec


# Visual magnitudes of the Messier list as printed in handbooks, from memory. Those of large nebulae are a matter of
# taste: 20 is left out, printed between 6.3 and 9.
MESSIER_MAGNITUDES = """
1 8.4  2 6.5  3 6.2  4 5.6  5 5.7  6 4.2  7 3.3  8 5.8  9 7.7  10 6.6  11 5.8  12 6.7  13 5.8  14 7.6  15 6.2
16 6.0  17 6.0  18 6.9  19 6.8  21 5.9  22 5.1  23 5.5  24 4.6  25 4.6  26 8.0  27 7.4  28 6.8  29 6.6  30 7.2
31 3.4  32 8.1  33 5.7  34 5.2  35 5.1  36 6.0  37 5.6  38 6.4  39 4.6  40 8.4  41 4.5  42 4.0  43 9.0  44 3.1
45 1.2  46 6.1  47 4.4  48 5.8  49 8.4  50 5.9  51 8.4  52 6.9  53 7.6  54 7.6  55 6.3  56 8.3  57 8.8  58 9.7
59 9.6  60 8.8  61 9.7  62 6.5  63 8.6  64 8.5  65 9.3  66 8.9  67 6.9  68 7.8  69 7.6  70 7.9  71 8.2  72 9.3
73 9.0  74 9.4  75 8.5  76 10.1  77 8.9  78 8.3  79 7.7  80 7.3  81 6.9  82 8.4  83 7.6  84 9.1  85 9.1  86 8.9
87 8.6  88 9.6  89 9.8  90 9.5  91 10.2  92 6.4  93 6.2  94 8.2  95 9.7  96 9.2  97 9.9  98 10.1  99 9.9
100 9.3  101 7.9  102 9.9  103 7.4  104 8.0  105 9.3  106 8.4  107 7.9  108 10.0  109 9.8  110 8.1
"""


def test_messier_magnitudes_agree_with_handbooks_to_a_magnitude() -> None:
    words = MESSIER_MAGNITUDES.split()
    printed = {int(n): float(magnitude) for n, magnitude in zip(words[::2], words[1::2], strict=True)}
    assert len(printed) == 109
    ours = [find_object(f"M {n}").magnitude for n in printed]
    assert_allclose(np.array(ours, dtype=float), list(printed.values()), rtol=0, atol=1.05)


def test_no_listed_globular_cluster_is_blue() -> None:
    # A cluster of old stars is yellow: B fainter than V. The source's errors show as the opposite.
    blue = [
        thing.title
        for thing in objects()
        if thing.type == "globular cluster" and (thing.messier or thing.caldwell)
        if thing.v_mag and thing.b_mag and thing.b_mag < thing.v_mag
    ]
    assert blue == []
