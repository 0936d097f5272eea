namespace DriftWatch.Plant.People;

/// <summary>Someone who has signed in.</summary>
/// <param name="Id">Stays the same when the name changes.</param>
/// <param name="Name">Name, as records of what was done show it.</param>
/// <param name="Role">What the person may do.</param>
public sealed record Person(string Id, string Name, Role Role);
