"""Building the demo society: its people, woods, three seasons of finds and their drawings."""

from society.demo.services.building import DemoReport, demo_build

__all__ = ["DemoReport", "demo_build"]
