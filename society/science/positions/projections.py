"""Shape of the earth: national grids and UTM to and from WGS 84 degrees.

In plain words: a grid is a transverse Mercator drawing of an ellipsoid. To get
from British or Irish grid metres to the degrees a phone shows, undo the drawing,
then move from the survey's old ellipsoid to WGS 84 by a seven-parameter Helmert
shift (the "position vector" way round). The Helmert shift is good to 5 m in Great
Britain (worst of the Ordnance Survey's forty test points: 4.94 m) and about 1 m in
Ireland; the definitive shift is a grid of numbers that is not carried here.

Sources: EPSG Guidance Note 7-2 (transverse Mercator by the JHS series to the fourth
power of n; Helmert, position vector); Ordnance Survey, "A guide to coordinate
systems in Great Britain" (Airy 1830, its projection, WGS 84 to OSGB36); Ordnance
Survey Ireland and OSNI 1999, "Making maps compatible with GPS" (Irish grid).

>>> east, north = BRITISH_GRID.forward(52.657570306, 1.717921583)
>>> round(east, 1), round(north, 1)
(651409.9, 313177.3)
>>> [round(metres, 1) for metres in metres_per_degree(56.0)]
[111341.8, 62392.8]
"""

from __future__ import annotations

import math
from dataclasses import dataclass

ARC_SECOND = math.pi / 648_000
HELMERT_ALLOWANCE_M = 5


@dataclass(frozen=True)
class Ellipsoid:
    """An ellipsoid by its longer half axis (metres) and inverse flattening."""

    a: float
    inverse_flattening: float

    @property
    def flattening(self) -> float:
        """Flattening, no unit."""
        return 1.0 / self.inverse_flattening

    @property
    def e2(self) -> float:
        """Square of the first eccentricity."""
        return self.flattening * (2.0 - self.flattening)

    def to_geocentric(self, lat: float, lon: float) -> tuple[float, float, float]:
        """Degrees on the ellipsoid's surface to earth-centred x, y, z in metres."""
        phi, lam = math.radians(lat), math.radians(lon)
        nu = self.a / math.sqrt(1.0 - self.e2 * math.sin(phi) ** 2)
        return (
            nu * math.cos(phi) * math.cos(lam),
            nu * math.cos(phi) * math.sin(lam),
            nu * (1.0 - self.e2) * math.sin(phi),
        )

    def to_degrees(self, x: float, y: float, z: float) -> tuple[float, float]:
        """Earth-centred metres near the surface to latitude and longitude in degrees."""
        p = math.hypot(x, y)
        phi = math.atan2(z, p * (1.0 - self.e2))
        for _ in range(6):  # gains about two and a half figures a round
            nu = self.a / math.sqrt(1.0 - self.e2 * math.sin(phi) ** 2)
            phi = math.atan2(z + self.e2 * nu * math.sin(phi), p)
        return math.degrees(phi), math.degrees(math.atan2(y, x))


WGS84 = Ellipsoid(6_378_137.0, 298.257223563)
AIRY_1830 = Ellipsoid(6_377_563.396, 299.3249646)
AIRY_MODIFIED = Ellipsoid(6_377_340.189, 299.3249646)


def metres_per_degree(lat: float) -> tuple[float, float]:
    """Metres in one degree of latitude and one of longitude at `lat` (degrees, WGS 84).

    Chapman & Wieczorek (2020), the lengths behind their table of precisions.
    """
    phi = math.radians(lat)
    w2 = 1.0 - WGS84.e2 * math.sin(phi) ** 2
    north = math.pi / 180.0 * WGS84.a * (1.0 - WGS84.e2) / w2**1.5
    east = math.pi / 180.0 * WGS84.a * max(0.0, math.cos(phi)) / math.sqrt(w2)
    return north, east


@dataclass(frozen=True)
class TransverseMercator:
    """One transverse Mercator drawing; degrees are those of its own ellipsoid."""

    ellipsoid: Ellipsoid
    lat0: float
    lon0: float
    scale: float
    false_east: float
    false_north: float

    def _radius_and_n(self) -> tuple[float, float]:
        f = self.ellipsoid.flattening
        n = f / (2.0 - f)
        return self.ellipsoid.a / (1.0 + n) * (1.0 + n**2 / 4.0 + n**4 / 64.0), n

    def _conformal(self, phi: float) -> float:
        """Tangent of the conformal latitude for a latitude in radians."""
        e = math.sqrt(self.ellipsoid.e2)
        return math.sinh(math.asinh(math.tan(phi)) - e * math.atanh(e * math.sin(phi)))

    def _origin(self, n: float) -> float:
        xi = math.atan(self._conformal(math.radians(self.lat0)))
        return xi + sum(h * math.sin(2 * i * xi) for i, h in enumerate(_outward(n), 1))

    def forward(self, lat: float, lon: float) -> tuple[float, float]:
        """Degrees on this ellipsoid to easting and northing in metres."""
        radius, n = self._radius_and_n()
        tau, lam = self._conformal(math.radians(lat)), math.radians(lon - self.lon0)
        xi0 = math.atan2(tau, math.cos(lam))
        eta0 = math.asinh(math.sin(lam) / math.hypot(tau, math.cos(lam)))
        xi, eta = xi0, eta0
        for i, h in enumerate(_outward(n), 1):
            xi += h * math.sin(2 * i * xi0) * math.cosh(2 * i * eta0)
            eta += h * math.cos(2 * i * xi0) * math.sinh(2 * i * eta0)
        reach = self.scale * radius
        return self.false_east + reach * eta, self.false_north + reach * (xi - self._origin(n))

    def inverse(self, east: float, north: float) -> tuple[float, float]:
        """Easting and northing in metres to degrees on this ellipsoid."""
        radius, n = self._radius_and_n()
        reach = self.scale * radius
        eta = (east - self.false_east) / reach
        xi = (north - self.false_north) / reach + self._origin(n)
        xi0, eta0 = xi, eta
        for i, h in enumerate(_inward(n), 1):
            xi0 -= h * math.sin(2 * i * xi) * math.cosh(2 * i * eta)
            eta0 -= h * math.cos(2 * i * xi) * math.sinh(2 * i * eta)
        conformal = math.atan2(math.sin(xi0), math.hypot(math.sinh(eta0), math.cos(xi0)))
        lam = math.atan2(math.sinh(eta0), math.cos(xi0))
        e = math.sqrt(self.ellipsoid.e2)
        q0 = math.asinh(math.tan(conformal))
        q = q0
        for _ in range(8):
            q = q0 + e * math.atanh(e * math.tanh(q))
        return math.degrees(math.atan(math.sinh(q))), self.lon0 + math.degrees(lam)


def _outward(n: float) -> tuple[float, float, float, float]:
    """The series from the sphere to the drawing (Guidance Note 7-2, h1 to h4)."""
    return (
        n / 2 - 2 * n**2 / 3 + 5 * n**3 / 16 + 41 * n**4 / 180,
        13 * n**2 / 48 - 3 * n**3 / 5 + 557 * n**4 / 1440,
        61 * n**3 / 240 - 103 * n**4 / 140,
        49561 * n**4 / 161280,
    )


def _inward(n: float) -> tuple[float, float, float, float]:
    """The series from the drawing to the sphere (Guidance Note 7-2, h1' to h4')."""
    return (
        n / 2 - 2 * n**2 / 3 + 37 * n**3 / 96 - n**4 / 360,
        n**2 / 48 + n**3 / 15 - 437 * n**4 / 1440,
        17 * n**3 / 480 - 37 * n**4 / 840,
        4397 * n**4 / 161280,
    )


@dataclass(frozen=True)
class Helmert:
    """Seven parameters from an old datum to WGS 84: metres, arc seconds, parts per million."""

    tx: float
    ty: float
    tz: float
    rx: float
    ry: float
    rz: float
    ppm: float

    def _turns(self) -> tuple[tuple[float, float, float], ...]:
        rx, ry, rz = (turn * ARC_SECOND for turn in (self.rx, self.ry, self.rz))
        return ((1.0, -rz, ry), (rz, 1.0, -rx), (-ry, rx, 1.0))

    def to_wgs84(self, x: float, y: float, z: float) -> tuple[float, float, float]:
        """Earth-centred metres on the old datum to WGS 84."""
        scale = 1.0 + self.ppm * 1e-6
        a, b, c = (
            scale * sum(m * v for m, v in zip(row, (x, y, z), strict=True)) for row in self._turns()
        )
        return a + self.tx, b + self.ty, c + self.tz

    def from_wgs84(self, x: float, y: float, z: float) -> tuple[float, float, float]:
        """The way back: the turns are so small that their transpose undoes them to a millimetre."""
        scale = 1.0 + self.ppm * 1e-6
        moved = ((x - self.tx) / scale, (y - self.ty) / scale, (z - self.tz) / scale)
        columns = zip(*self._turns(), strict=True)
        a, b, c = (sum(m * v for m, v in zip(column, moved, strict=True)) for column in columns)
        return a, b, c


BRITISH_GRID = TransverseMercator(AIRY_1830, 49.0, -2.0, 0.9996012717, 400_000.0, -100_000.0)
IRISH_GRID = TransverseMercator(AIRY_MODIFIED, 53.5, -8.0, 1.000035, 200_000.0, 250_000.0)
# The Ordnance Survey prints the seven numbers from WGS 84 to OSGB36; these are the
# same with their signs turned, as the EPSG registry lists them.
OSGB36_SHIFT = Helmert(446.448, -125.157, 542.060, 0.1502, 0.2470, 0.8421, -20.4894)
IRISH_SHIFT = Helmert(482.530, -130.596, 564.557, -1.042, -0.214, -0.631, 8.150)


def grid_to_wgs84(
    grid: TransverseMercator, shift: Helmert, east: float, north: float
) -> tuple[float, float]:
    """National grid metres to WGS 84 degrees, good to 5 m."""
    lat, lon = grid.inverse(east, north)
    return WGS84.to_degrees(*shift.to_wgs84(*grid.ellipsoid.to_geocentric(lat, lon)))


def wgs84_to_grid(
    grid: TransverseMercator, shift: Helmert, lat: float, lon: float
) -> tuple[float, float]:
    """WGS 84 degrees to national grid metres, good to 5 m."""
    moved = shift.from_wgs84(*WGS84.to_geocentric(lat, lon))
    return grid.forward(*grid.ellipsoid.to_degrees(*moved))


def utm(zone: int, *, south: bool) -> TransverseMercator:
    """The UTM drawing of a zone (1 to 60); `south` sets the false northing below the equator."""
    return TransverseMercator(
        WGS84, 0.0, 6.0 * zone - 183.0, 0.9996, 500_000.0, 10_000_000.0 if south else 0.0
    )
