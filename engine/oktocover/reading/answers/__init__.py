"""Answers from the field: a file of readings, each with its element and fact, laid into a site without editing it.

A reading fills a blank, or says more exactly what was written as a bound. What was only planned, assumed or typical
gives way to it, and is told. Everything else that does not agree is an error with both places and both names: between
an answer and the site, and between two answers. What could not be answered stays not recorded.
"""

from oktocover.reading.answers.file import Answer, AnswersFile, read_answers
from oktocover.reading.answers.lay import lay_in, lay_in_rooms

__all__ = ["Answer", "AnswersFile", "lay_in", "lay_in_rooms", "read_answers"]
