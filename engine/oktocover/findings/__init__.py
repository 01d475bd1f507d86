"""Verdicts and findings: what came out, in which order it is told, and how it keeps its identity."""

from oktocover.findings.finding import Comparison, Finding, FindingPlace, Missing, Step, Verdict

__all__ = ["Comparison", "Finding", "FindingPlace", "Missing", "Step", "Verdict"]
