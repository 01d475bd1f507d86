"""Reading files: YAML text to plain data with places, and every fault said in a sentence with its line."""

from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import Data, DataPath, Document, read_yaml, read_yaml_documents, read_yaml_file
from oktocover.reading.problems import InputProblems, OktocoverError, Place, Problem

__all__ = [
    "Data",
    "DataPath",
    "Document",
    "InputProblems",
    "OktocoverError",
    "Place",
    "Problem",
    "nearest",
    "read_yaml",
    "read_yaml_documents",
    "read_yaml_file",
]
