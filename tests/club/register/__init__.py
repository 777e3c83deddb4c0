"""Tests of obslog/club/register."""
