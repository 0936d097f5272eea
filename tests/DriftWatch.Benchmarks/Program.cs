using BenchmarkDotNet.Running;
using DriftWatch.Benchmarks;

BenchmarkSwitcher.FromAssembly(typeof(CorrectionBenchmarks).Assembly).Run(args);
