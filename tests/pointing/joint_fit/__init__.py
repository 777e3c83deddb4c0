"""Tests of obslog/pointing/joint_fit."""
