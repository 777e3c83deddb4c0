"""Tests of obslog/pointing/misfit."""
